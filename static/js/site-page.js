// @ts-check
/** The owner's page about the shop's own site with a script: picks show at once, lines copy by a button. All of it also works without. */
import { morph } from "./morph.js";

const PAUSE_MS = 300;
const form = /** @type {HTMLFormElement | null} */ (document.querySelector("form[data-site-choices]"));
let waiting = 0;
let asked = 0;

form?.addEventListener("input", onPick);
form?.addEventListener("submit", (event) => {
  event.preventDefault();
  show();
});
document.addEventListener("click", onClick);
for (const button of document.querySelectorAll("[data-copies]")) button.removeAttribute("hidden");

/** A color that was picked is meant to be used; a color that was given up is not.
 * @param {Event} event */
function onPick(event) {
  const own = form?.elements.namedItem("own_accent");
  if (event.target instanceof HTMLInputElement && event.target.name === "accent" && own instanceof HTMLInputElement) own.checked = true;
  window.clearTimeout(waiting);
  waiting = window.setTimeout(show, PAUSE_MS);
}

/** Asks the server for the page as it is with these picks, and takes over the parts that hang on them. */
async function show() {
  if (!form) return;
  const address = `${form.action}?${new URLSearchParams(/** @type {any} */ (new FormData(form)))}`;
  const mine = ++asked;
  const answer = await fetch(address).catch(() => null);
  if (!answer?.ok || answer.redirected) return location.assign(address);
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (mine !== asked) return;
  for (const live of document.querySelectorAll("[data-site-live]")) {
    const fresh = page.getElementById(live.id);
    if (fresh) morph(live, fresh);
  }
  for (const link of document.querySelectorAll("[data-site-view]")) {
    const fresh = page.querySelector(`[data-site-view="${link.getAttribute("data-site-view")}"]`);
    if (fresh) morph(link, fresh);
  }
  history.replaceState(history.state, "", address);
}

/** @param {MouseEvent} event */
function onClick(event) {
  if (!(event.target instanceof Element) || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const view = event.target.closest("[data-site-view]");
  const field = form?.elements.namedItem("show");
  if (view && field instanceof HTMLInputElement) {
    event.preventDefault();
    field.value = view.getAttribute("data-site-view") ?? "";
    show();
  }
  const button = event.target.closest("[data-copies]");
  if (button instanceof HTMLElement) copy(button);
}

/** The clipboard where the browser gives it (secure pages), else the old way. @param {HTMLElement} button */
async function copy(button) {
  const source = document.getElementById(button.dataset.copies ?? "");
  if (!(source instanceof HTMLTextAreaElement)) return;
  try {
    await navigator.clipboard.writeText(source.value);
  } catch {
    source.select();
    document.execCommand("copy");
  }
  const said = document.getElementById("said");
  if (said) said.textContent = button.dataset.copied ?? "";
}
