/* Dark mode by hand, and a filter box on long tables. Works from a file address, asks nothing of the network. */
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

  document.addEventListener("DOMContentLoaded", () => {
    themeButton();
    document.querySelectorAll("table.stack").forEach(keepRoles);
    document.querySelectorAll("table.filter").forEach(filterBox);
    // On a phone the list of documents stands below the page and closed.
    const menu = document.querySelector(".menu details");
    if (menu && !matchMedia("(min-width: 60rem)").matches) menu.open = false;
  });
})();
