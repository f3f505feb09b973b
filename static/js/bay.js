// @ts-check
/** The bay with a script: a clock that goes on, and marks that are set by pressing the drawing. All of it also works without. */

document.documentElement.classList.add("has-script");
for (const clock of document.querySelectorAll("[data-clock]")) goOn(/** @type {HTMLElement} */ (clock));
const drawing = document.querySelector("[data-marks]");
if (drawing) drawing.addEventListener("click", markPanel);

/** Counts on from the minutes that the server gave.
 * @param {HTMLElement} clock */
function goOn(clock) {
  const before = Number(clock.dataset.clock);
  const since = performance.now();
  setInterval(() => {
    const minutes = before + Math.floor((performance.now() - since) / 60_000);
    clock.textContent = `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}`;
  }, 5_000);
}

/** Puts the pressed panel into the next row that is free, and goes there.
 * @param {Event} event */
function markPanel(event) {
  const panel = event.target instanceof Element ? event.target.closest("[data-panel]") : null;
  if (!(panel instanceof SVGElement)) return;
  const rows = /** @type {HTMLSelectElement[]} */ ([...document.querySelectorAll("select[name^='damage_panel_']")]);
  const free = rows.find((row) => !row.value);
  if (!free) {
    /** @type {HTMLButtonElement | null} */ (document.querySelector("button[name='more']"))?.focus();
    return;
  }
  free.value = panel.dataset.panel ?? "";
  if (!free.value) return;
  const kind = document.getElementById(free.id.replace("panel", "kind"));
  kind?.scrollIntoView({ block: "center" });
  kind?.focus();
}
