/* Dark mode by hand, a filter box on long tables, places in the pages that a search finds. Works from a file address, asks nothing of the network. */
"use strict";
(() => {
  const root = document.documentElement;
  const store = {
    get() { try { return localStorage.getItem("binder-theme"); } catch { return null; } },
    set(value) { try { localStorage.setItem("binder-theme", value); } catch { /* a locked-down browser: not kept */ } },
  };
  const dark = () => root.dataset.theme
    ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  if (store.get()) root.dataset.theme = store.get();

  function themeButton() {
    const button = document.querySelector(".theme");
    if (!button) return;
    const name = () => { button.textContent = dark() ? "Light" : "Dark"; };
    button.hidden = false;
    name();
    button.addEventListener("click", () => {
      root.dataset.theme = dark() ? "light" : "dark";
      store.set(root.dataset.theme);
      name();
    });
  }

  function filterBox(table, number) {
    const bar = document.createElement("div");
    const id = `filter-${number}`;
    bar.className = "filter-bar";
    const label = document.createElement("label");
    label.htmlFor = id;
    label.textContent = "Show rows with";
    const input = document.createElement("input");
    input.type = "search";
    input.id = id;
    const said = document.createElement("output");
    bar.append(label, input, said);
    table.closest(".table-box").before(bar);
    input.addEventListener("input", () => {
      const rows = [...table.tBodies].flatMap((body) => [...body.rows]);
      const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
      let shown = 0, all = 0, group = null, groupShown = false, asked = null;
      for (const row of rows) {
        if (row.classList.contains("group")) {
          if (group) group.hidden = !groupShown;
          [group, groupShown] = [row, false];
          continue;
        }
        if (row.classList.contains("entry")) {  // the fields of the row above it
          row.hidden = Boolean(asked && asked.hidden);
          continue;
        }
        asked = row;
        const text = row.textContent.toLowerCase();
        row.hidden = !words.every((word) => text.includes(word));
        all += 1;
        if (!row.hidden) { shown += 1; groupShown = true; }
      }
      if (group) group.hidden = !groupShown;
      said.textContent = words.length ? `${shown} of ${all} rows` : "";
    });
  }

  // The style lays the rows of wide tables out as cards on a phone; laid out so, they would lose what they are.
  function keepRoles(table) {
    table.setAttribute("role", "table");
    for (const body of table.tBodies) body.setAttribute("role", "rowgroup");
    for (const row of table.querySelectorAll("tbody tr")) {
      row.setAttribute("role", "row");
      for (const cell of row.cells) cell.setAttribute("role", cell.tagName === "TH" ? "rowheader" : "cell");
    }
  }

  // What sticks to the top must not lie over the heading that a link leads to, however many rows it takes.
  function keepTargetsClear() {
    const stuck = [...document.querySelectorAll(".bar, .sections")];
    const measure = () => {
      const tall = stuck.filter((part) => getComputedStyle(part).position === "sticky").map((part) => part.offsetHeight);
      root.style.scrollPaddingTop = `${tall.reduce((sum, height) => sum + height, 8)}px`;
    };
    const watched = new ResizeObserver(measure);
    stuck.forEach((part) => watched.observe(part));
  }

  // Words of a query as they are looked for on a page.
  const wordsOf = (query) => query.toLowerCase().split(/\s+/).filter(Boolean);

  // In a hidden frame of the search page: tell it the places where the words stand.
  function tellExcerpts(query) {
    const words = wordsOf(query);
    const found = [];
    for (const block of document.querySelectorAll("main :is(h2, h3, p, li, tr, dd, figcaption, text)")) {
      if (block.querySelector(":scope > p")) continue;  // its paragraphs come by themselves
      const cells = block.cells ? [...block.cells].map((cell) => cell.textContent) : [block.textContent];
      const text = cells.map((cell) => cell.replace(/\s+/g, " ").trim()).filter(Boolean).join(" · ");
      const at = text.toLowerCase().indexOf(words[0]);
      const section = block.closest("section[id], figure[id]");
      if (at < 0 || !section || !words.every((word) => text.toLowerCase().includes(word))) continue;
      const row = block.closest("[id]");
      const start = Math.max(0, at - 60);
      const cut = (start ? "… " : "") + text.slice(start, at + 120) + (text.length > at + 120 ? " …" : "");
      const title = section.querySelector("h1, h2, h3, h4, figcaption");
      found.push({ id: row.id, title: title ? title.textContent : "", text: cut });
      if (found.length === 3) break;
    }
    parent.postMessage({ binderExcerpts: found }, "*");
  }

  // Under each page found, the lines that hold the words. A page of a file address may not be fetched, but it may be
  // shown in a frame, and can tell its own text.
  function showExcerpts(list, query) {
    const waiting = [];
    let frame = null;
    function next() {
      const item = waiting.shift();
      frame = null;
      if (!item) return;
      const link = item.querySelector("a");
      frame = document.createElement("iframe");
      frame.title = "Places in the page";
      frame.tabIndex = -1;
      frame.src = `${link.href.split("#")[0]}?excerpt=${encodeURIComponent(query)}`;
      item.append(frame);
    }
    addEventListener("message", (event) => {
      if (!frame || event.source !== frame.contentWindow || !event.data || !Array.isArray(event.data.binderExcerpts)) return;
      const item = frame.parentElement;
      const page = frame.src.split("?")[0];
      frame.remove();
      for (const { id, title, text } of event.data.binderExcerpts.slice(0, 3)) {
        const line = document.createElement("p");
        line.className = "excerpt";
        const link = document.createElement("a");
        link.href = `${page}#${encodeURIComponent(id)}`;
        link.textContent = String(title);
        const at = String(text).toLowerCase().indexOf(wordsOf(query)[0]);
        const mark = document.createElement("mark");
        mark.textContent = String(text).slice(at, at + wordsOf(query)[0].length);
        line.append(link, ": ", String(text).slice(0, at), mark, String(text).slice(at + mark.textContent.length));
        item.append(line);
      }
      next();
    });
    new MutationObserver((changes) => {
      for (const change of changes) {
        for (const node of change.addedNodes) if (node.tagName === "LI" && waiting.length < 30) waiting.push(node);
      }
      if (!frame) next();
    }).observe(list, { childList: true, subtree: true });
  }

  document.addEventListener("DOMContentLoaded", () => {
    const query = new URLSearchParams(location.search);
    if (query.get("excerpt") && parent !== window) {
      tellExcerpts(query.get("excerpt"));
      return;
    }
    const results = document.querySelector("#search-results");
    if (results && query.get("q")) showExcerpts(results, query.get("q"));
    themeButton();
    document.querySelectorAll("table.stack").forEach(keepRoles);
    document.querySelectorAll("table.filter").forEach(filterBox);
    // On a phone the list of documents stands below the page and closed.
    const menu = document.querySelector(".menu details");
    keepTargetsClear();
    if (menu && !matchMedia("(min-width: 60rem)").matches) menu.open = false;
  });
})();
