/* Field sheets filled in on a tablet: kept on the device, given out as CSV. Asks nothing of the network.
   Without this script, or until "Fill in" is pressed, the page is the sheet as printed. */
"use strict";
(() => {
  const source = document.querySelector(".field-form script");
  if (!source) return;
  const form = JSON.parse(source.textContent);
  const stem = ["binder-field", form.site, form.number].join("|");
  const place = `${stem}|${form.revision}`;
  const checks = new Set(form.checks);
  const done = new Set(form.done);

  const store = {
    read(key) { try { return JSON.parse(localStorage.getItem(key)); } catch { return null; } },
    write(key, value) { try { localStorage.setItem(key, JSON.stringify(value)); return true; } catch { return false; } },
  };
  const sheet = ([columns, ...rows], name, values, remark) => {
    const at = Object.fromEntries(columns.map((title, index) => [title, index]));
    return { columns, at, values, remark, rows: new Map(rows.map((row) => [row[at[name]], row])) };
  };
  const sheets = {
    readings: sheet(form.readings, "Test", ["Value"], "Remark"),
    settings: sheet(form.settings, "Setting", ["As found", "As left"], "Reason"),
  };
  const today = () => {
    const now = new Date();
    return new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  };
  const blank = () => ({ on: false, readings: {}, settings: {}, tools: {} });
  let state = { ...blank(), ...store.read(place) };
  // Who reads, and with what, goes from packet to packet; the day is today until another one is typed.
  let person = { initials: "", instrument: "", date: today(), ...store.read("binder-field-person") };
  if (person.typed !== today()) person.date = today();
  const refreshers = [];
  let kept = true;
  const known = { people: [], instruments: [], ...window.binderPickLists };
  const initials = new Set(known.people.map(([short]) => short.toLowerCase()));
  const calibrated = new Map(known.instruments.map(([tag, , due]) => [tag.toLowerCase(), due]));

  function make(tag, properties, ...children) {
    const { data, aria, ...plain } = properties || {};
    const element = Object.assign(document.createElement(tag), plain);
    Object.assign(element.dataset, data);
    for (const [name, value] of Object.entries(aria || {})) element.setAttribute(name === "role" ? name : `aria-${name}`, value);
    element.append(...children);
    return element;
  }

  // What is typed -------------------------------------------------------------------------------

  const unitOf = (id) => sheets.readings.rows.get(id)[sheets.readings.at.Unit] || "";
  const filled = (kind, record) => sheets[kind].values.some((column) => record[column]);

  function put(kind, id, changes) {
    const record = { ...state[kind][id], ...changes, sent: false };
    if (sheets[kind].values.some((column) => column in changes)) {
      record.Date = person.date;
      record.Initials = person.initials || record.Initials || "";
      if (kind === "readings" && !checks.has(id)) {
        record.Instrument = record.Instrument || state.tools[unitOf(id)] || person.instrument;
      }
    }
    if (kind === "readings" && changes.Instrument) state.tools[unitOf(id)] = changes.Instrument;
    if (filled(kind, record) || record[sheets[kind].remark]) state[kind][id] = record;
    else delete state[kind][id];
    keep();
  }

  function keep() {
    kept = store.write(place, state);
    refresh();
  }

  function refresh() {
    refreshers.forEach((one) => one());
  }

  function complete() {
    // Initials and instrument typed after the first readings belong to these readings as well.
    for (const kind of ["readings", "settings"]) {
      for (const [id, record] of Object.entries(state[kind])) {
        if (!filled(kind, record)) continue;
        record.Initials = record.Initials || person.initials;
        if (kind === "readings" && !checks.has(id)) record.Instrument = record.Instrument || person.instrument;
      }
    }
  }

  // Lists of the workbook to pick from; anything else may be typed.
  function pickable(box, column) {
    if (column === "Initials" && initials.size) box.setAttribute("list", "pick-people");
    if (column === "Instrument" && calibrated.size) box.setAttribute("list", "pick-instruments");
    return box;
  }

  function pickLists() {
    const list = (id, entries) => make("datalist", { id }, ...entries.map(([value, label]) => make("option", { value, label })));
    return [list("pick-people", known.people),
      list("pick-instruments", known.instruments.map(([tag, kind, due]) => [tag, due ? `${kind}, calibrated to ${due}` : kind]))];
  }

  // Doubts, told at once while the meter is still there -------------------------------------------

  function doubts(kind, id) {
    const record = state[kind][id];
    if (!record || !filled(kind, record)) return record ? ["A remark alone is not taken: type a value, or press Not done."] : [];
    const found = kind === "readings" ? readingDoubts(id, record) : settingDoubts(id, record);
    if (!record.Initials) found.push("Initials are missing.");
    else if (initials.size && !initials.has(record.Initials.toLowerCase())) found.push(`Nobody in the workbook has the initials ${record.Initials}.`);
    return found;
  }

  function readingDoubts(id, record) {
    if (record.Value === "not done") return record.Remark ? [] : ["Say in the remark why it was not done."];
    if (checks.has(id)) return record.Value === "no" && !record.Remark ? ["Answered no: say in the remark what is wrong."] : [];
    const found = [];
    const [low, high] = form.limits[id] || [null, null];
    const { rows, at } = sheets.readings;
    if (/^[+-]?\d+([.,]\d+)?$/.test(record.Value)) {
      const value = Number(record.Value.replace(",", "."));
      if ((low !== null && value < low) || (high !== null && value > high)) {
        found.push(`Outside the limit ${rows.get(id)[at.Limit]}. Read again; if it stays, say why in the remark.`);
      }
      const raw = id === "R2.M" ? rawInsulation() : null;
      if (raw !== null && value < raw.least) {
        found.push(`At ${raw.celsius} °C the tester must show ${raw.least.toPrecision(3)} MΩ or more. Read again; if it stays, say why in the remark.`);
      }
    } else if (!/\d|^ol$/i.test(record.Value)) {
      found.push("A number belongs here; words go to the remark.");
    }
    if (!record.Instrument) found.push("The instrument is missing.");
    else found.push(...instrumentDoubts(record));
    return found;
  }

  /* What the tester must show at the winding temperature typed: the stricter of halving per 10 K and the rule for
     thermosetting windings, both of IEEE 43 (the second from memory, check), as the office judges it. */
  function rawInsulation() {
    const celsius = Number(((state.readings["R2.T"] || {}).Value || "").replace(",", ".") || NaN);
    const [at40] = form.limits["R2.C"] || [null];
    if (at40 === null || !(celsius >= 0 && celsius <= 100)) return null;
    const halving = 0.5 ** ((40 - celsius) / 10);
    const thermoset = Math.exp((celsius < 40 ? -1245 : -4230) * (1 / (celsius + 273) - 1 / 313));
    return { celsius, least: at40 / Math.min(halving, thermoset) };
  }

  function instrumentDoubts({ Instrument: tag, Date: day }) {
    if (!calibrated.size) return [];
    const due = calibrated.get(tag.toLowerCase());
    if (due === undefined) return [`Instrument ${tag} is not in the workbook.`];
    if (!due) return [`The calibration of ${tag} is not known.`];
    return day > due ? [`The calibration of ${tag} ended on ${due}: read with another one.`] : [];
  }

  function settingDoubts(id, record) {
    const { rows, at } = sheets.settings;
    const required = rows.get(id)[at.Required] || "";
    const left = record["As left"];
    if (!left || !required || record.Reason) return [];
    const [a, b] = [left, required].map((text) => text.trim().toLowerCase());
    const same = a === b || a === b.split(" ")[0] || (a !== "" && Number(a) === Number(b.split(" ")[0]));
    return same ? [] : [`Required is ${required}: set it, or say in the reason why not.`];
  }

  // Fields ----------------------------------------------------------------------------------------

  let number = 0;
  const nameOf = (kind, id) => {
    const { rows, at } = sheets[kind];
    const row = rows.get(id);
    return kind === "readings" ? `${id} ${row[at.What]}` : `Setting ${id} ${row[at.Name]}`;
  };

  function input(kind, id, column, { label = "", hint = "", numeric = false, first = false } = {}) {
    const box = make("input", {
      type: "text", id: `fill-${++number}`, autocomplete: "off", spellcheck: false,
      className: first ? "reading" : "", inputMode: numeric ? "decimal" : "text",
      data: { fill: column, line: id },
    });
    box.setAttribute("autocapitalize", ["Initials", "Instrument"].includes(column) ? "characters" : "off");
    pickable(box, column);
    if (label) box.setAttribute("aria-label", label);
    if (hint) box.setAttribute("aria-describedby", hint);
    box.addEventListener("input", () => put(kind, id, { [column]: box.value.trim() }));
    refreshers.push(() => {
      const value = (state[kind][id] || {})[column] || "";
      if (box.value.trim() !== value) box.value = value;
    });
    return box;
  }

  function labelled(kind, id, column, title, options) {
    const box = input(kind, id, column, options);
    const label = make("label", { htmlFor: box.id }, make("span", { className: "unseen" }, `${nameOf(kind, id)}: `), title);
    return make("div", { className: `field field-${column.toLowerCase().replace(" ", "-")}` }, label, box);
  }

  function toggle(id, value, title) {
    const button = make("button", { type: "button", data: { answer: value, line: id } }, title);
    button.addEventListener("click", () => {
      const now = (state.readings[id] || {}).Value;
      put("readings", id, { Value: now === value ? "" : value });
    });
    refreshers.push(() => button.setAttribute("aria-pressed", String((state.readings[id] || {}).Value === value)));
    return button;
  }

  function hintBox(kind, ids) {
    const box = make("p", { className: "hint", id: `fill-${++number}` });
    refreshers.push(() => {
      const told = new Map();  // text -> whose it is: eight equal doubts of a sweep point are told once
      for (const id of ids) for (const text of doubts(kind, id)) told.set(text, [...(told.get(text) || []), id.split(".").pop()]);
      box.textContent = [...told].map(([text, whose]) => (ids.length > 1 ? `${whose.join(", ")}: ${text}` : text)).join(" ");
      box.hidden = !told.size;
    });
    return box;
  }

  function stamp(kind, id) {
    const said = make("span", { className: "stamp" });
    refreshers.push(() => {
      const record = state[kind][id];
      said.textContent = record && filled(kind, record) ? `${record.Date}${record.sent ? ", exported" : ""}` : "";
    });
    return said;
  }

  function readingEntry(id) {
    const hint = hintBox("readings", [id]);
    const options = { hint: hint.id };
    const unit = unitOf(id);
    const parts = checks.has(id)
      ? [make("div", { className: "answers", aria: { role: "group", label: `${nameOf("readings", id)}: answer` } },
        toggle(id, "yes", "Yes"), toggle(id, "no", "No"), toggle(id, "not done", "Not done"))]
      : [labelled("readings", id, "Value", unit ? `Reading, ${unit}` : "Reading",
        { ...options, numeric: !unit.includes("Ω"), first: true }),
      make("div", { className: "answers" }, toggle(id, "not done", "Not done")),
      labelled("readings", id, "Instrument", "Instrument", options)];
    return make("div", { className: "entry-box", data: { entry: id } }, ...parts,
      labelled("readings", id, "Initials", "Initials", options), labelled("readings", id, "Remark", "Remark", options),
      stamp("readings", id), hint);
  }

  function settingEntry(id) {
    const hint = hintBox("settings", [id]);
    const options = { hint: hint.id };
    return make("div", { className: "entry-box", data: { entry: id } },
      labelled("settings", id, "As found", "As found", { ...options, first: true }),
      labelled("settings", id, "As left", "As left", options),
      labelled("settings", id, "Initials", "Initials", options), labelled("settings", id, "Reason", "Reason", options),
      stamp("settings", id), hint);
  }

  function below(row, content) {
    row.after(make("tr", { className: "entry" }, make("td", { colSpan: row.cells.length + 1 }, content)));
    row.classList.add("asked");
  }

  function again(kind, id, entry) {
    if (kind !== "readings" || !done.has(id)) return entry;
    return make("details", { open: id in state.readings }, make("summary", {}, "Read again"), entry);
  }

  /* A sweep: a point is a row, a quantity is a column; its instrument stands on top, its remark below the row. */
  function matrix(table) {
    const columns = new Map();
    for (const row of [...table.tBodies[0].rows]) {
      const cells = [...row.querySelectorAll("td[data-line]")].filter((cell) => sheets.readings.rows.has(cell.dataset.line));
      if (!cells.length) continue;
      const ids = cells.map((cell) => cell.dataset.line);
      const hint = hintBox("readings", ids);
      const remark = make("input", { type: "text", id: `fill-${++number}`, autocomplete: "off", data: { fill: "Remark" } });
      for (const cell of cells) {
        const { rows, at } = sheets.readings;
        const id = cell.dataset.line;
        const told = rows.get(id);
        const label = [`${id} ${told[at.What]}`, told[at.How], unitOf(id)].filter(Boolean).join(", ");
        const box = input("readings", id, "Value", { label, hint: hint.id, numeric: true, first: true });
        box.addEventListener("input", () => { if (remark.value && state.readings[id]) put("readings", id, { Remark: remark.value.trim() }); });
        cell.append(box);
        columns.set(cell.cellIndex, [...(columns.get(cell.cellIndex) || []), id]);
      }
      remark.addEventListener("input", () => {
        ids.filter((id) => state.readings[id]).forEach((id) => put("readings", id, { Remark: remark.value.trim() }));
      });
      refreshers.push(() => {
        const record = ids.map((id) => state.readings[id]).find((one) => one && one.Remark);
        if (document.activeElement === remark) return;
        if (record) remark.value = record.Remark;
        else if (!Object.keys(state.readings).length) remark.value = "";  // cleared; a remark typed first waits for its readings
      });
      const point = ids[0].split(".").slice(0, -1).join(".");
      const name = make("span", { className: "unseen" }, `${point}: `);
      const label = make("label", { htmlFor: remark.id }, name, "Remark for this point");
      below(row, make("div", { className: "entry-box", data: { point } }, notDone(ids, point, remark),
        make("div", { className: "field field-remark" }, label, remark), hint));
    }
    if (!columns.size) return;
    table.classList.add("matrix");
    const width = table.tHead.rows[0].cells.length;
    const tools = make("tr", { className: "entry tools" }, make("th", { scope: "row" }, "Instrument"));
    for (let index = 1; index < width; index += 1) tools.append(toolCell(columns.get(index), table.tHead.rows[0].cells[index]));
    table.tBodies[0].prepend(tools);
  }

  /* What is left of a point is not done, with the point's one remark; pressed again, it is blank once more. */
  function notDone(ids, point, remark) {
    const button = make("button", { type: "button", data: { answer: "not done", point } },
      make("span", { className: "unseen" }, `${point}: `), "Not done");
    const valueOf = (id) => (state.readings[id] || {}).Value;
    const undone = () => ids.filter((id) => valueOf(id) === "not done");
    button.addEventListener("click", () => {
      const now = undone();
      if (now.length) now.forEach((id) => put("readings", id, { Value: "", Remark: "" }));
      else ids.filter((id) => !valueOf(id)).forEach((id) => put("readings", id, { Value: "not done", Remark: remark.value.trim() }));
    });
    refreshers.push(() => {
      button.setAttribute("aria-pressed", String(undone().length > 0));
      button.disabled = !undone().length && ids.every(valueOf);
    });
    return make("div", { className: "answers" }, button);
  }

  function toolCell(ids, head) {
    const cell = make("td", { className: "write" });
    if (!ids) return cell;
    const label = `Instrument for ${head.textContent}, ${ids[0].split(".").slice(0, 2).join(".")}`;
    const box = pickable(make("input", { type: "text", autocomplete: "off", aria: { label }, data: { fill: "Instrument" } }), "Instrument");
    const unit = unitOf(ids[0]);
    box.addEventListener("input", () => {
      state.tools[unit] = box.value.trim();
      for (const id of ids) if (state.readings[id]) Object.assign(state.readings[id], { Instrument: box.value.trim(), sent: false });
      keep();
    });
    refreshers.push(() => {
      const record = ids.map((id) => state.readings[id]).find((one) => one && one.Instrument);
      const value = record ? record.Instrument : state.tools[unit] || person.instrument;
      if (document.activeElement !== box) box.value = value;
    });
    cell.append(box);
    return cell;
  }

  function open(table) {
    const kind = table.dataset.form;
    const titles = [...table.tHead.rows[0].cells].map((cell) => cell.textContent);
    table.setAttribute("role", "table");  // kept where the style lays the rows out as cards
    for (const row of [...table.querySelectorAll("tbody tr")]) {
      row.setAttribute("role", "row");
      [...row.cells].forEach((cell, index) => {
        cell.setAttribute("role", cell.tagName === "TH" ? "rowheader" : "cell");
        if (!row.classList.contains("group")) cell.dataset.title = titles[index] || "";
        if (!cell.textContent.trim()) cell.classList.add("nothing");
      });
      const [pass, fail] = [...row.querySelectorAll(".passfail span")].map((box) => box.getAttribute("aria-label") === "ticked");
      if (pass || fail) {  // on a card there is no room for boxes: the verdict as a word
        const word = pass ? "pass" : "fail";
        row.cells[0].append(make("span", { className: `mark mark-${word} verdict` }, word));
      }
      const id = row.dataset.line;
      if (sheets[kind].rows.has(id)) below(row, again(kind, id, kind === "readings" ? readingEntry(id) : settingEntry(id)));
    }
    if (kind === "readings") matrix(table);
    table.classList.toggle("cards", !table.classList.contains("matrix"));
    table.closest(".table-box").classList.add("fillable");
  }

  // Out of the device -----------------------------------------------------------------------------

  const quoted = (text) => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  // A blank before a sign keeps a spreadsheet program from taking a text, or what follows a separator, for a formula.
  const safe = (text) =>
    (/^[+-]?[\d.,]+$/.test(text) ? text : text.replace(/(^|[;\t\r\n])(?=[=+@＝＋－＠-])/g, "$1 "));

  function csv(kind) {
    const { columns, rows } = sheets[kind];
    const lines = [columns];
    for (const [id, row] of rows) {
      const record = state[kind][id];
      if (record && (filled(kind, record) || record[sheets[kind].remark])) {
        lines.push(columns.map((title, index) => (record[title] || row[index] || "")));
      }
    }
    return lines.map((cells) => `${cells.map((cell) => quoted(safe(cell))).join(",")}\r\n`).join("");
  }

  function give(kind) {
    const name = [kind, form.drive, person.initials, person.date].filter(Boolean).join("_").replace(/[^\w.-]+/g, "-");
    const address = URL.createObjectURL(new Blob(["\ufeff", csv(kind)], { type: "text/csv" }));
    const link = make("a", { href: address, download: `${name}.csv` });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
    Object.values(state[kind]).forEach((record) => { record.sent = true; });
    keep();
  }

  const counted = (kind) => Object.values(state[kind]).filter((record) => filled(kind, record));
  const some = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;
  const unsent = () => [...counted("readings"), ...counted("settings")].filter((record) => !record.sent).length;

  function clear() {
    const typed = `${some(counted("readings").length, "reading")} and ${some(counted("settings").length, "setting")}`;
    const lost = unsent() ? `\n\n${unsent()} of them are NOT exported yet and will be lost.` : "";
    if (!confirm(`Clear ${typed} of ${form.drive} typed on this device?${lost}`)) return;
    state = { ...blank(), on: true };
    keep();
  }

  function former() {
    // Typed under an earlier revision of this document: line ids stay, so it can be brought over.
    let keys = [];
    try { keys = Object.keys(localStorage); } catch { /* nothing kept */ }
    return keys.filter((key) => key.startsWith(`${stem}|`) && key !== place)
      .map((key) => ({ key, revision: key.slice(stem.length + 1) || "without letter", ...blank(), ...store.read(key) }))
      .filter((old) => Object.keys(old.readings).length + Object.keys(old.settings).length);
  }

  function bring(old) {
    state.readings = { ...old.readings, ...state.readings };
    state.settings = { ...old.settings, ...state.settings };
    keep();
    if (kept) try { localStorage.removeItem(old.key); } catch { /* stays */ }
  }

  // The panel at the top and the line at the foot ---------------------------------------------------

  function personField(name, title, type) {
    const box = make("input", { type, id: `fill-person-${name}`, autocomplete: "off", data: { person: name } });
    box.value = person[name];
    pickable(box, { initials: "Initials", instrument: "Instrument" }[name]);
    box.addEventListener("input", () => {
      person = { ...person, [name]: box.value.trim(), typed: today() };
      store.write("binder-field-person", person);
    });
    box.addEventListener("change", () => { complete(); keep(); });
    return make("div", { className: "field" }, make("label", { htmlFor: box.id }, title), box);
  }

  function action(title, name, run) {
    const button = make("button", { type: "button", data: { action: name } }, title);
    button.addEventListener("click", run);
    return button;
  }

  function textOut() {
    const area = make("textarea", { readOnly: true, rows: 6, aria: { label: "Readings and settings as CSV text" } });
    const details = make("details", {}, make("summary", {}, "As text, where the device keeps no files"), area);
    const show = () => { if (details.open) area.value = ["readings", "settings"].filter((k) => counted(k).length).map(csv).join("\n"); };
    details.addEventListener("toggle", show);
    refreshers.push(show);
    return details;
  }

  function panel() {
    const said = make("p", { className: "said" });
    const readings = action("", "readings", () => give("readings"));
    const settings = action("", "settings", () => give("settings"));
    const wipe = action("Clear", "clear", clear);
    const older = make("div", { className: "older" });
    for (const old of former()) {
      const line = make("p", {}, `Revision ${old.revision}: ${some(Object.keys(old.readings).length, "reading")} are still on this device. `);
      line.append(action("Bring over", "bring", () => { bring(old); line.remove(); }));
      older.append(line);
    }
    refreshers.push(() => {
      const [r, s] = [counted("readings").length, counted("settings").length];
      readings.textContent = `Export readings (${r})`;
      settings.textContent = `Export settings (${s})`;
      readings.disabled = !r;
      settings.disabled = !s;
      wipe.disabled = !(Object.keys(state.readings).length + Object.keys(state.settings).length);
      said.textContent = kept ? "" : "This browser does not keep what you type. Export before you close the page.";
    });
    return make("div", { className: "fill", id: "fill", aria: { role: "region", label: "Fill in on this device" } },
      make("p", { className: "head" }, `Fill in ${form.drive} on this device`),
      make("p", {}, "Typed readings stay on this device until you export them. No network is needed. "
        + "In the office: binder record, with the exported files."),
      make("div", { className: "entry-box" }, personField("initials", "Your initials", "text"),
        personField("instrument", "Usual instrument", "text"), personField("date", "Day of the readings", "date")),
      make("div", { className: "actions" }, readings, settings, wipe, action("Stop filling in", "stop", () => turn(false))),
      said, older, textOut());
  }

  function foot() {
    const said = make("span", { aria: { role: "status" } });
    refreshers.push(() => {
      const [r, s, u] = [counted("readings").length, counted("settings").length, unsent()];
      const who = person.initials ? "" : "Type your initials first. ";
      said.textContent = `${who}${some(r, "reading")}, ${some(s, "setting")}${r + s ? `; ${u ? `${u} not exported` : "all exported"}` : ""}`;
    });
    return make("div", { className: "fill-bar" }, said, make("a", { href: "#fill" }, "Initials, export"));
  }

  const holder = source.parentElement;
  const starter = make("div", { className: "fill-start" },
    action(`Fill in ${form.drive} on this device`, "start", () => turn(true)),
    make("span", {}, "Large fields for a tablet; works without network."));

  function turn(on) {
    state.on = on;
    if (on && !holder.querySelector(".fill")) {
      document.querySelectorAll("table[data-form]").forEach(open);
      holder.append(panel(), ...pickLists());
      document.body.append(foot());
    }
    document.body.classList.toggle("filling", on);
    starter.hidden = on;
    keep();
    if (on) holder.querySelector("#fill-person-initials").focus({ preventScroll: true });
  }

  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches(".entry input, input.reading")) return;
    const all = [...document.querySelectorAll("input.reading")];
    const next = all.find((box) => event.target.compareDocumentPosition(box) & Node.DOCUMENT_POSITION_FOLLOWING);
    if (next) next.focus();
    event.preventDefault();
  });
  addEventListener("storage", (event) => {  // the same packet in another tab
    if (event.key !== place) return;
    state = { ...blank(), ...store.read(place), on: state.on };
    refresh();
  });

  holder.append(starter);
  if (state.on) turn(true);
})();
