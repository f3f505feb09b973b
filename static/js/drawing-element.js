// @ts-check

/** @typedef {{x: number, y: number}} Point */

const DIRECTIONS = { ArrowLeft: { x: -1, y: 0 }, ArrowRight: { x: 1, y: 0 }, ArrowUp: { x: 0, y: -1 }, ArrowDown: { x: 0, y: 1 } };

/**
 * `<cfg-drawing>` around one view of the car. The check boxes beside it are the truth: a panel here ticks its box. One stop for
 * the keyboard; arrows go to the nearest panel that way, Space ticks. Pointing at either side lights the other.
 */
export class DrawingElement extends HTMLElement {
  connectedCallback() {
    for (const type of ["keydown", "focusin", "focusout", "pointerover", "pointerout"]) this.addEventListener(type, this);
    for (const type of ["change", "plan:estimate"]) document.addEventListener(type, this);
    this.#mirror();
  }

  disconnectedCallback() {
    for (const type of ["change", "plan:estimate"]) document.removeEventListener(type, this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event.type === "change" || event.type === "plan:estimate") this.#mirror();
    else if (event instanceof KeyboardEvent) this.#onKey(event);
    else if (event.target instanceof Element) this.#onPoint(event.type, event.target);
  }

  /** The panels that can be ticked. */
  get panels() {
    return /** @type {SVGGElement[]} */ ([...this.querySelectorAll("[data-panel][role=checkbox]")]);
  }

  /** Says each box's state on its panel. */
  #mirror() {
    for (const panel of this.panels) {
      const box = boxOf(panel.dataset.panel);
      if (box) panel.setAttribute("aria-checked", String(box.checked));
    }
  }

  /** @param {KeyboardEvent} event */
  #onKey(event) {
    const here = this.panels.find((panel) => panel === document.activeElement);
    if (!here || event.altKey || event.ctrlKey || event.metaKey) return;
    const way = DIRECTIONS[/** @type {keyof typeof DIRECTIONS} */ (event.key)];
    if (event.key === " " || event.key === "Enter") boxOf(here.dataset.panel)?.click();
    else if (way) this.#go(nearest(here, this.panels, way));
    else return;
    event.preventDefault();
  }

  /** @param {SVGGElement | null} panel */
  #go(panel) {
    if (!panel) return;
    for (const other of this.panels) other.setAttribute("tabindex", other === panel ? "0" : "-1");
    panel.focus();
  }

  /** @param {string} type @param {Element} target */
  #onPoint(type, target) {
    const tap = target.closest("[data-panel-tap]");
    const id = tap?.getAttribute("data-panel-tap") ?? target.closest("[data-panel]")?.getAttribute("data-panel");
    if (id) link(id, type === "focusin" || type === "pointerover");
  }
}

/** Lights a panel in every drawing and its row in the list. @param {string} id @param {boolean} on */
export function link(id, on) {
  for (const panel of document.querySelectorAll(`[data-panel="${CSS.escape(id)}"]`)) panel.classList.toggle("is-linked", on);
  boxOf(id)?.closest("[data-row]")?.classList.toggle("is-linked", on);
}

/** @param {string | undefined} id */
function boxOf(id) {
  const box = id ? document.getElementById(`p-${id}`) : null;
  return box instanceof HTMLInputElement ? box : null;
}

/**
 * The panel that lies nearest in a direction; sideways counts double, so that a straight way wins.
 * @param {Element} here @param {SVGGElement[]} panels @param {Point} way
 */
export function nearest(here, panels, way) {
  const from = middleOf(here);
  let best = null;
  let least = Infinity;
  for (const panel of panels) {
    const to = middleOf(panel);
    const along = (to.x - from.x) * way.x + (to.y - from.y) * way.y;
    const aside = Math.abs((to.x - from.x) * way.y) + Math.abs((to.y - from.y) * way.x);
    if (panel !== here && along > 2 && along + 2 * aside < least) {
      least = along + 2 * aside;
      best = panel;
    }
  }
  return best;
}

/** @param {Element} panel @returns {Point} */
function middleOf(panel) {
  const box = (panel.querySelector(".disc") ?? panel).getBoundingClientRect();
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}
