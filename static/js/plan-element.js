// @ts-check
import { morph } from "./morph.js";

const TYPING_PAUSE_MS = 250;
const DIM_AFTER_MS = 150;
const TOLD_FOR_MS = 2600;

/**
 * `<cfg-plan live="/configure/live">` around the configurator's form. Every change asks the server for the page as it now
 * is and takes that over. The browser works out nothing: no price, no day, no rule.
 *
 * Events (bubbling): `plan:estimate` after an answer, `plan:error` after a failure.
 */
export class PlanElement extends HTMLElement {
  /** @type {AbortController | null} */
  #running = null;
  #asked = 0;
  #typing = 0;
  #dimming = 0;
  /** @type {Set<Element>} */
  #touched = new Set();

  connectedCallback() {
    document.documentElement.classList.add("is-live");
    this.addEventListener("change", this);
    this.addEventListener("input", this);
    this.addEventListener("click", this);
    window.addEventListener("online", this);
    this.querySelector("[data-takes-focus]")?.focus();
  }

  disconnectedCallback() {
    window.removeEventListener("online", this);
    this.#running?.abort();
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event.type === "online") {
      if (this.classList.contains("is-failed")) this.refresh("");
    } else if (event.type === "click") {
      this.#onClick(event);
    } else if (event.target instanceof Element && event.target.closest("form[data-live]")) {
      this.#onEdit(event, event.target);
    }
  }

  /** @param {Event} event */
  #onClick(event) {
    if (!(event.target instanceof Element)) return;
    const button = event.target.closest("button[data-sets]");
    if (button instanceof HTMLButtonElement) this.#set(button.name, button.value);
    else if (!event.target.closest("[data-retry]")) return;
    event.preventDefault();
    this.refresh("");
  }

  /** What a button would send, kept in the form's hidden field of that name. @param {string} name @param {string} value */
  #set(name, value) {
    for (const field of this.querySelectorAll("input[type=hidden]")) {
      if (field instanceof HTMLInputElement && field.name === name) field.value = value;
    }
  }

  /** Ticks and choices ask at once; typed figures after a pause. @param {Event} event @param {Element} control */
  #onEdit(event, control) {
    const typed = control.matches("input[type=text], input[type=number], input[type=date], textarea");
    if (typed !== (event.type === "input")) return;
    this.#touched.add(control);
    window.clearTimeout(this.#typing);
    const changed = changeOf(control);
    if (typed) this.#typing = window.setTimeout(() => this.refresh(changed), TYPING_PAUSE_MS);
    else this.refresh(changed);
  }

  /** Asks for the page as it is with the form's present state. @param {string} changed name and value of the control */
  async refresh(changed) {
    const form = this.querySelector("form[data-live]");
    if (!(form instanceof HTMLFormElement)) return;
    this.#running?.abort();
    this.#running = new AbortController();
    const number = ++this.#asked;
    const sent = new Set(this.#touched);
    this.#dimLater();
    try {
      const answer = await this.ask(this.#address(form, changed), this.#running.signal);
      if (number !== this.#asked) return;
      this.#touched = new Set([...this.#touched].filter((control) => !sent.has(control)));
      this.#take(answer);
    } catch (error) {
      if (number === this.#asked && !isAbort(error)) this.#fail();
    }
  }

  /**
   * The one place that talks to the server; tests replace it.
   * @param {string} address @param {AbortSignal} signal @returns {Promise<Document>}
   */
  async ask(address, signal) {
    const have = [...document.querySelectorAll("[data-drawing]")].map((drawing) => drawing.getAttribute("data-drawing")).join(",");
    const response = await fetch(address, { signal, headers: { "X-Tuckline-Have": have }, credentials: "same-origin" });
    if (!response.ok && response.status !== 422) throw new Error(`status ${response.status}`);
    return new DOMParser().parseFromString(await response.text(), "text/html");
  }

  /** @param {HTMLFormElement} form @param {string} changed */
  #address(form, changed) {
    const query = new URLSearchParams(/** @type {any} */ (new FormData(form)));
    if (changed) query.set("f.changed", changed);
    return `${this.getAttribute("live")}?${query}`;
  }

  #dimLater() {
    window.clearTimeout(this.#dimming);
    this.#dimming = window.setTimeout(() => this.classList.add("is-working"), DIM_AFTER_MS);
  }

  /** @param {Document} answer */
  #take(answer) {
    const fresh = answer.querySelector("cfg-plan");
    if (!fresh) throw new Error("no plan in the answer");
    takeRules(answer.querySelector("template[data-rules]"));
    window.clearTimeout(this.#dimming);
    this.classList.remove("is-working", "is-failed");
    const said = fresh.getAttribute("data-say") ?? "";
    const classes = this.className;
    morph(this, fresh, { busy: this.#touched });
    this.className = classes;
    history.replaceState(history.state, "", fresh.getAttribute("data-address") ?? location.href);
    this.#say(said);
    this.dispatchEvent(new CustomEvent("plan:estimate", { bubbles: true }));
  }

  #fail() {
    window.clearTimeout(this.#dimming);
    this.classList.remove("is-working");
    this.classList.add("is-failed");
    this.#say(this.getAttribute("data-failed") ?? "");
    this.dispatchEvent(new CustomEvent("plan:error", { bubbles: true }));
  }

  /** Once, politely; the phone's bar shows the same words for a moment. @param {string} text */
  #say(text) {
    const region = this.querySelector("[data-says]");
    if (region) region.textContent = text;
    const bar = this.querySelector("[data-tells]");
    if (!bar || !text) return;
    bar.textContent = text;
    bar.parentElement?.classList.add("is-telling");
    window.setTimeout(() => bar.textContent === text && bar.parentElement?.classList.remove("is-telling"), TOLD_FOR_MS);
  }
}

/** The page's generated stylesheet keeps its element, whose nonce the policy knows; only its text is new. @param {Element | null} fresh */
function takeRules(fresh) {
  const live = document.getElementById("plan-rules");
  if (!(fresh instanceof HTMLTemplateElement) || !live) return;
  live.textContent = fresh.content.textContent;
  live.setAttribute("data-drawing", fresh.dataset.rules ?? "");
}

/** @param {Element} control */
function changeOf(control) {
  const { name = "", value = "", type = "", checked = false } = /** @type {HTMLInputElement} */ (control);
  return type === "checkbox" ? `${name}:${value}:${checked ? "on" : "off"}` : `${name}:${value}`;
}

/** @param {unknown} error */
function isAbort(error) {
  return error instanceof DOMException && error.name === "AbortError";
}
