// @ts-check
import { envelope, opened } from "./messages.js";

const LOOK_KEYS = ["lang", "theme", "accent", "radius", "font", "fixed"];
const CARD_GAP_PX = 16;

/**
 * `<cfg-frame site="https://shop.example">` around a framed page: tells the host page its height and what happened, and keeps
 * the price in the strip of the frame that can be seen.
 */
export class FrameElement extends HTMLElement {
  #height = 0;
  #strip = { top: 0, bottom: 0 };
  /** @type {ResizeObserver | null} */
  #watcher = null;

  connectedCallback() {
    if (window.parent === window) return;
    window.addEventListener("message", this);
    this.addEventListener("plan:estimate", this);
    this.addEventListener("plan:error", this);
    this.addEventListener("click", this);
    this.#tell("ready", { step: this.getAttribute("step") ?? "", title: document.title });
    this.#watcher = new ResizeObserver(() => this.#measure());
    this.#watcher.observe(this);
    this.#measure();
    this.#tellEstimate();
    const reference = this.getAttribute("submitted");
    if (reference) this.#tell("submitted", { reference });
    if (this.querySelector("[data-takes-focus]")) this.#show(this.querySelector("[data-takes-focus]"));
  }

  disconnectedCallback() {
    window.removeEventListener("message", this);
    this.#watcher?.disconnect();
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event instanceof MessageEvent) this.#hear(event);
    else if (event.type === "plan:estimate") this.#tellEstimate();
    else if (event.type === "plan:error") this.#tell("error", { code: "estimate_failed" });
    else if (event.target instanceof Element) this.#onClick(event.target);
  }

  /** @param {MessageEvent} event */
  #hear(event) {
    if (event.source !== window.parent || event.origin !== this.getAttribute("site")) return;
    const message = opened(event.data);
    if (message?.type === "strip") this.#onStrip(message.payload);
    else if (message?.type === "look") this.#onLook(message.payload);
  }

  /** @param {{top: number, bottom: number, fixed: boolean}} strip */
  #onStrip({ top, bottom, fixed }) {
    if (![top, bottom].every(Number.isFinite)) return;
    this.#strip = { top, bottom };
    this.#place();
    this.classList.toggle("has-strip", !fixed);
  }

  /** The bar lies at the foot of the strip, the card near its head; neither leaves its own column. Moved, not laid out anew. */
  #place() {
    const bar = this.querySelector(".cfg-bar");
    if (bar instanceof HTMLElement) this.#shift("--bar-shift", this, bar, this.#strip.bottom - bar.offsetHeight);
    const card = this.querySelector(".cfg-job");
    if (card instanceof HTMLElement && card.parentElement) this.#shift("--card-shift", card.parentElement, card, this.#strip.top + CARD_GAP_PX);
  }

  /** @param {string} name @param {HTMLElement} column @param {HTMLElement} box @param {number} wanted place in the frame */
  #shift(name, column, box, wanted) {
    const room = Math.max(0, column.clientHeight - box.offsetHeight);
    const shift = Math.min(room, Math.max(0, wanted - column.getBoundingClientRect().top));
    this.style.setProperty(name, `${Math.round(shift)}px`);
  }

  /** @param {Record<string, string>} look */
  #onLook(look) {
    const address = new URL(location.href);
    for (const key of LOOK_KEYS) {
      if (typeof look[key] === "string" && look[key]) address.searchParams.set(key, look[key]);
      else address.searchParams.delete(key);
    }
    if (address.href !== location.href) location.replace(address);
  }

  /** A jump inside the page has to be made by the host, which owns the scroll. @param {Element} target */
  #onClick(target) {
    const link = target.closest('a[href^="#"]');
    const goal = link && document.getElementById(link.getAttribute("href")?.slice(1) ?? "");
    if (goal) this.#show(goal);
  }

  /** @param {Element | null} goal */
  #show(goal) {
    if (goal) this.#tell("show", { top: Math.round(goal.getBoundingClientRect().top + window.scrollY) });
  }

  #measure() {
    const height = Math.ceil(this.getBoundingClientRect().height);
    if (height === this.#height) return;
    this.#height = height;
    this.#place();
    this.#tell("size", { height });
  }

  #tellEstimate() {
    const address = this.querySelector("cfg-plan")?.getAttribute("data-address");
    if (address) this.#tell("at", { address });
    const source = this.querySelector("[data-estimate]")?.getAttribute("data-estimate");
    if (source) this.#tell("estimate", JSON.parse(source));
  }

  /** @param {string} type @param {object} payload */
  #tell(type, payload) {
    const site = this.getAttribute("site");
    if (site) window.parent.postMessage(envelope(type, payload), site);
  }
}
