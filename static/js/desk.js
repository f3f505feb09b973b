// @ts-check
/** The desk with a script: keys, the preview beside the list, filters that send themselves, the end of a session. All of it also works without. */

const body = document.body;
const NEWS_MS = 30_000;
/** Where `g` and a letter lead. */
const PLACES = { i: "/staff/inbox", c: "/staff/calendar", b: "/staff/bay", p: "/staff/customers" };
const SECOND_KEY_MS = 1500;
let goesUntil = 0;

for (const element of document.querySelectorAll("[data-script-hides]")) element.setAttribute("hidden", "");
for (const label of document.querySelectorAll("[data-shows]")) offerToShow(/** @type {HTMLElement} */ (label));
for (const select of document.querySelectorAll("select[data-sends]")) {
  select.addEventListener("change", () => /** @type {HTMLSelectElement} */ (select).form?.requestSubmit());
}
if (body.dataset.keys === "on") document.addEventListener("keydown", onKey);
document.addEventListener("click", onLook);
warnBeforeTheEnd();
tellNews();

/** A tick that turns a password field into readable text.
 * @param {HTMLElement} label */
function offerToShow(label) {
  const field = /** @type {HTMLInputElement | null} */ (document.getElementById(label.dataset.shows ?? ""));
  const tick = label.querySelector("input");
  if (!field || !tick) return;
  label.removeAttribute("hidden");
  tick.addEventListener("change", () => (field.type = tick.checked ? "text" : "password"));
}

/** Single letters, only where nobody is typing (WCAG 2.1.4: they can be turned off in the settings).
 * @param {KeyboardEvent} event */
function onKey(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return;
  if (goes(event)) return;
  const by = { j: 1, k: -1 }[event.key] ?? (inTheList(event.target) ? { ArrowDown: 1, ArrowUp: -1 }[event.key] : 0);
  if (by) {
    if (step(by)) event.preventDefault();
    return;
  }
  const target = document.querySelector(`[data-key="${CSS.escape(event.key)}"]`);
  if (!(target instanceof HTMLElement) || !target.checkVisibility()) return;
  event.preventDefault();
  if (target.matches("input, textarea")) target.focus();
  else target.click();
}

/** Arrows scroll the page, except where a row has the focus.
 * @param {EventTarget | null} target */
function inTheList(target) {
  return target instanceof Element && target.closest("[data-row]") !== null;
}

/** `g`, then a letter: goes to a page that this person's rail has. Any other key ends it.
 * @param {KeyboardEvent} event */
function goes(event) {
  const waiting = event.timeStamp < goesUntil;
  goesUntil = !waiting && event.key === "g" ? event.timeStamp + SECOND_KEY_MS : 0;
  if (!waiting) return goesUntil > 0;
  const place = /** @type {Record<string, string>} */ (PLACES)[event.key];
  const link = place && document.querySelector(`nav a[href="${place}"]`);
  if (link instanceof HTMLElement) link.click();
  return Boolean(link);
}

/** @param {EventTarget | null} target */
function isTyping(target) {
  return target instanceof HTMLElement && target.matches("input, textarea, select, [contenteditable]");
}

/** The next or previous row becomes the one that is looked at, and gets the focus.
 * @param {number} by */
function step(by) {
  const rows = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[data-row]")]);
  if (!rows.length) return false;
  const here = rows.findIndex((row) => row.hasAttribute("aria-current"));
  const next = rows[Math.min(Math.max(here + by, 0), rows.length - 1)];
  next.querySelector("a")?.focus();
  look(next);
  return true;
}

/** @param {MouseEvent} event */
function onLook(event) {
  const link = event.target instanceof Element ? event.target.closest("[data-look]") : null;
  const row = link?.closest("[data-row]");
  if (!(row instanceof HTMLElement) || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  look(row);
}

let lookedAt = 0;

/** Fetches the preview of a row; a slow answer that comes too late is dropped.
 * @param {HTMLElement} row */
async function look(row) {
  const preview = document.getElementById("preview");
  if (!preview) return;
  for (const other of document.querySelectorAll("[data-row][aria-current]")) other.removeAttribute("aria-current");
  row.setAttribute("aria-current", "true");
  const mine = ++lookedAt;
  preview.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(`/staff/inbox/${encodeURIComponent(row.dataset.row ?? "")}`);
    if (answer.redirected || !answer.ok) throw new Error(String(answer.status));
    const text = await answer.text();
    if (mine !== lookedAt) return;
    preview.replaceChildren(...parsed(text));
    say(preview.querySelector("h2")?.textContent ?? "");
  } catch {
    location.assign(row.querySelector("a")?.href ?? location.href);
  } finally {
    if (mine === lookedAt) preview.removeAttribute("aria-busy");
  }
}

/** Markup from our own server, as nodes. Scripts in it would not run.
 * @param {string} text */
function parsed(text) {
  return new DOMParser().parseFromString(text, "text/html").body.childNodes;
}

/** @param {string} text */
function say(text) {
  const said = document.getElementById("said");
  if (said) said.textContent = text;
}

/** Says how many requests have come in since the page was made, and moves nothing: who wants them presses for them. */
function tellNews() {
  const line = /** @type {HTMLElement | null} */ (document.querySelector("[data-news]"));
  const text = line?.querySelector("span");
  if (!line || !text) return;
  setInterval(ask, Number(line.dataset.every) || NEWS_MS);
  document.addEventListener("visibilitychange", ask);

  async function ask() {
    if (document.hidden || !line || !text) return;
    try {
      const answer = await fetch(`${line.dataset.news}?after=${line.dataset.after}`);
      if (answer.redirected || !answer.ok) return;
      const news = await answer.json();
      if (text.textContent === news.text) return;
      text.textContent = news.text;
      line.querySelector("a")?.toggleAttribute("hidden", !news.arrived);
    } catch {
      // no network just now: the next time tells
    }
  }
}

/** Two minutes before the session ends by itself it offers to stay (WCAG 2.2.1). A shared tablet then leaves nothing on its screen. */
function warnBeforeTheEnd() {
  const seconds = Number(body.dataset.sessionEnds);
  const template = /** @type {HTMLTemplateElement | null} */ (document.getElementById("session-warning"));
  if (!seconds || !template) return;
  const end = "tablet" in body.dataset ? setTimeout(() => location.assign("/staff/tablet"), seconds * 1000 + 1000) : 0;
  setTimeout(() => {
    const notice = /** @type {DocumentFragment} */ (template.content.cloneNode(true));
    const stay = notice.querySelector("a");
    const box = notice.firstElementChild;
    stay?.addEventListener("click", async (event) => {
      event.preventDefault();
      clearTimeout(end);
      const answer = await fetch("/staff/here");
      if (answer.ok) {
        box?.remove();
        warnBeforeTheEnd();
      } else location.reload();
    });
    body.append(notice);
  }, Math.max(seconds - 120, 1) * 1000);
}
