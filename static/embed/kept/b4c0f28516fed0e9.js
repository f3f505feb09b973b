// @ts-check
/*
 * Defines <tuckline-configurator>: a frame with the shop's configurator that fits itself to any page.
 * One classic script, no dependency, no global, no cookie, no storage. Messages are described in messages.js beside the frame's own script.
 */
(() => {
  const TAG = "tuckline-configurator";
  const PROTOCOL = "tuckline";
  const VERSION = 1;
  const LOOK = ["locale", "theme", "accent", "radius", "font"];
  const START = ["package", "body"];
  const PAGE = "/embed/configure";
  const OURS = /\/embed(-[0-9a-f]{16})?\.js$/;
  const SILENT_AFTER_MS = 20000;
  const SILENT_AFTER_LOAD_MS = 4000;
  const STEPS = Array.from({ length: 21 }, (_, step) => step / 20);
  // At first at least as high as the window, so that nothing that can be seen moves when the real height is known.
  const FIRST_HEIGHT = "max(760px, 100vh)";

  // Where the script came from. A tool that joins scripts hides that; then the link in the element says it.
  const script = document.currentScript;
  const home = [script, ...document.scripts].map(originOf).find(Boolean) ?? "";
  if (customElements.get(TAG)) return;

  /** @param {Element | null} candidate */
  function originOf(candidate) {
    if (!(candidate instanceof HTMLScriptElement) || !candidate.src) return "";
    const { origin, pathname } = new URL(candidate.src);
    return OURS.test(pathname) ? origin : "";
  }

  // The host page's rules don't reach into a shadow tree, and important rules in here beat its own on the element itself.
  const CSS = `
    :host { all: initial !important; display: block !important; position: relative !important; inline-size: 100% !important; }
    :host([hidden]) { display: none !important; }
    section { position: relative; }
    iframe { display: block; inline-size: 100%; border: 0; color-scheme: normal; }
    i { position: absolute; inset-inline-start: 0; inline-size: 1px; block-size: 1px; scroll-margin-block: 80px; pointer-events: none; }
    div { display: none; font: 16px/1.5 sans-serif; padding: 16px; }
    .silent iframe { position: absolute; visibility: hidden; block-size: 0 !important; }
    .silent div { display: block; }
  `;

  /** This window and those around it on the same site; a page of the site may itself stand in a frame. */
  function* windows() {
    try {
      for (let one = window; ; one = one.parent) {
        if (one.document) yield one;
        if (one === one.parent) return;
      }
    } catch {
      // The next one belongs to another site.
    }
  }

  /** @param {ShadowRoot} root */
  function dress(root) {
    try {
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(CSS);
      root.adoptedStyleSheets = [sheet];
      return [];
    } catch {
      const style = document.createElement("style");
      style.textContent = CSS;
      return [style];
    }
  }

  class Configurator extends HTMLElement {
    static observedAttributes = [...LOOK, "height"];
    #home = home;
    /** @type {HTMLIFrameElement | null} */
    #frame = null;
    #box = document.createElement("section");
    #mark = document.createElement("i");
    /** Where the visitor is, so that an app may take the element down and put it up again. */
    #at = PAGE;
    #ready = 0;
    #heard = false;
    #silence = 0;
    #queued = false;
    #strip = { top: 0, bottom: 0 };
    /** @type {AbortController | null} */
    #life = null;
    /** @type {IntersectionObserver | null} */
    #eye = null;
    /** @type {number[]} */
    #heights = [];

    connectedCallback() {
      const link = this.querySelector("a")?.href ?? "";
      if (!this.#home && /^https?:/.test(link)) this.#home = new URL(link).origin;
      if (!this.#home) return this.#warn("no_home", "it can't tell where it was loaded from. Load /embed.js from the shop's own address.");
      this.#life = new AbortController();
      const { signal } = this.#life;
      this.#build();
      window.addEventListener("message", (event) => this.#hear(event), { signal });
      for (const around of windows()) {
        for (const type of ["scroll", "resize"]) around.addEventListener(type, () => this.#queueStrip(), { signal, passive: true, capture: true });
      }
      // Tells of what no event tells: that it came into view, or that something over it opened or closed.
      this.#eye = new IntersectionObserver(([entry]) => this.#onView(entry), { threshold: STEPS });
      if (this.#frame) this.#eye.observe(this.#box);
    }

    disconnectedCallback() {
      this.#life?.abort();
      this.#eye?.disconnect();
      window.clearTimeout(this.#silence);
      this.#frame?.remove();
      this.#frame = null;
      this.#ready = this.#silence = 0;
      this.#heard = false;
    }

    /** @param {string} name */
    attributeChangedCallback(name) {
      if (!this.#frame) return;
      if (name === "height") this.#size();
      if (this.#ready) this.#tell("look", this.#look());
      else if (name !== "height") this.#frame.src = this.#address();
    }

    #build() {
      const root = this.shadowRoot ?? this.attachShadow({ mode: "open" });
      const frame = (this.#frame = document.createElement("iframe"));
      frame.title = this.querySelector("a")?.textContent?.trim() || "Paint protection film: plan and price range";
      frame.loading = "lazy";
      frame.referrerPolicy = "strict-origin-when-cross-origin";
      frame.allow = "clipboard-write";
      frame.setAttribute("sandbox", "allow-scripts allow-forms allow-same-origin allow-popups allow-popups-to-escape-sandbox allow-downloads");
      frame.addEventListener("load", () => this.#expect(SILENT_AFTER_LOAD_MS));
      frame.src = this.#address();
      const instead = document.createElement("div");
      instead.append(document.createElement("slot"));
      this.#box.className = "";
      this.#box.replaceChildren(frame, this.#mark, instead);
      root.replaceChildren(...dress(root), this.#box);
      this.#size();
    }

    #look() {
      /** @type {Record<string, string>} */
      const look = {};
      for (const name of LOOK) look[name === "locale" ? "lang" : name] = this.getAttribute(name) ?? "";
      look.fixed = this.#fixed() ? "yes" : "";
      return look;
    }

    #address() {
      const address = new URL(this.#at, this.#home);
      const start = address.search ? {} : Object.fromEntries(START.map((name) => [name, this.getAttribute(name) ?? ""]));
      for (const [name, value] of Object.entries({ ...start, ...this.#look(), site: location.origin })) {
        if (value) address.searchParams.set(name, value);
        else address.searchParams.delete(name);
      }
      return address.href;
    }

    /** The height that a host asks for, or nothing: as high as the content. */
    #fixed() {
      const [, number = "", unit = ""] = /^\s*(\d{2,4})(px|[dsl]?vh|r?em)?\s*$/.exec(this.getAttribute("height") ?? "") ?? [];
      return number && number + (unit || "px");
    }

    /** @param {number} [content] */
    #size(content = this.#heights.at(-1)) {
      const fixed = this.#fixed();
      this.#frame?.setAttribute("scrolling", fixed ? "auto" : "no");
      this.#frame?.style.setProperty("block-size", fixed || (content ? `${content}px` : FIRST_HEIGHT));
    }

    /** @param {MessageEvent} event */
    #hear(event) {
      if (!this.#frame || event.source !== this.#frame.contentWindow || event.origin !== this.#home) return;
      const { protocol, version, type, payload } = Object(event.data);
      if (protocol !== PROTOCOL || version !== VERSION || typeof payload !== "object" || payload === null) return;
      if (type === "ready") this.#onReady(payload);
      else if (type === "size") this.#onSize(Number(payload.height));
      else if (type === "show") this.#onShow(Number(payload.top));
      else if (type === "at") this.#onAt(String(payload.address));
      else if (type === "refused") this.#onRefused();
      else if (["estimate", "submitted", "error"].includes(type)) this.#emit(type, payload);
    }

    /** @param {{step?: unknown, title?: unknown}} payload */
    #onReady({ step, title }) {
      this.#answered();
      this.#heights = [];
      this.#ready += 1;
      if (this.#frame && title && !this.querySelector("a")) this.#frame.title = String(title);
      // After a step inside the frame the new page begins at its top; bring it into view if that was scrolled past.
      if (this.#ready > 1 && this.#strip.top > 0) this.#scrollTo(0, 0);
      this.#queueStrip();
      if (this.#ready === 1) this.#emit("ready", { step });
      this.#emit("step", { step });
    }

    #answered() {
      this.#heard = true;
      window.clearTimeout(this.#silence);
      this.#box.classList.remove("silent");
    }

    /** @param {number} height */
    #onSize(height) {
      if (!(height > 0 && height < 100000)) return;
      // Two heights that take turns would go on for ever; the larger one stays.
      const [last, before] = this.#heights.slice(-2).reverse();
      const swinging = this.#heights.length > 6 && before === height && last !== height;
      this.#heights = [...this.#heights.slice(-7), swinging ? Math.max(height, last) : height];
      this.#size();
      this.#queueStrip();
    }

    /** @param {number} top */
    #onShow(top) {
      if (!Number.isFinite(top) || this.#fixed()) return;
      if (top < this.#strip.top || top > this.#strip.bottom - 80) this.#scrollTo(top, 80);
    }

    /** @param {string} address */
    #onAt(address) {
      if (address.startsWith(`${PAGE}?`)) this.#at = address;
    }

    #onRefused() {
      this.#answered();
      this.#warn("refused", `${location.origin} is not on the shop's list of sites. The shop adds it under "Your site" in the staff area.`);
    }

    /** By the page's own means, so that boxes with a scroll and the space of fixed bars (scroll-padding) count. @param {number} top @param {number} margin */
    #scrollTo(top, margin) {
      this.#mark.style.setProperty("top", `${top}px`);
      this.#mark.style.setProperty("scroll-margin-block", `${margin}px`);
      this.#mark.scrollIntoView({ block: "start", inline: "nearest", behavior: "instant" });
    }

    /** @param {IntersectionObserverEntry} entry */
    #onView(entry) {
      if (entry.isIntersecting && !this.#silence) this.#expect(SILENT_AFTER_MS);
      this.#queueStrip();
    }

    /** Tells the frame which part of it can be seen, since it has no scroll of its own. */
    #queueStrip() {
      if (this.#queued || !this.#ready) return;
      this.#queued = true;
      requestAnimationFrame(() => {
        this.#queued = false;
        if (!this.#frame) return;
        const glance = new IntersectionObserver(([entry]) => {
          glance.disconnect();
          this.#onStrip(entry);
        });
        glance.observe(this.#frame);
      });
    }

    /** In the frame's own pixels, whatever the page around it scales. @param {IntersectionObserverEntry} entry */
    #onStrip({ boundingClientRect: box, intersectionRect: seen }) {
      const scale = box.height / (this.#frame?.offsetHeight || 1) || 1;
      const room = getComputedStyle(document.scrollingElement ?? document.documentElement);
      const head = Math.max(seen.top, parseFloat(room.scrollPaddingTop) || 0);
      const foot = Math.min(seen.bottom, window.innerHeight - (parseFloat(room.scrollPaddingBottom) || 0));
      const top = Math.round(Math.max(0, head - box.top) / scale);
      this.#strip = { top, bottom: Math.max(top, Math.round((foot - box.top) / scale)) };
      if (seen.height) this.#tell("strip", { ...this.#strip, fixed: Boolean(this.#fixed()) });
    }

    /** @param {string} type @param {object} payload */
    #tell(type, payload) {
      this.#frame?.contentWindow?.postMessage({ protocol: PROTOCOL, version: VERSION, type, payload }, this.#home);
    }

    /** @param {string} name @param {object} detail */
    #emit(name, detail) {
      this.dispatchEvent(new CustomEvent(`tuckline:${name}`, { detail, bubbles: true, composed: true }));
    }

    /** If nothing is heard for so long, the link shows in place of the frame; an answer that comes later still counts. @param {number} ms */
    #expect(ms) {
      window.clearTimeout(this.#silence);
      if (!this.#heard) this.#silence = window.setTimeout(() => this.#onSilence(), ms);
    }

    #onSilence() {
      this.#box.classList.add("silent");
      this.#warn("no_answer", `no answer from ${this.#home}. Does this page's frame-src allow it, and is ${location.origin} on the shop's list of sites?`);
    }

    /** @param {string} code @param {string} text */
    #warn(code, text) {
      console.warn(`<${TAG}>: ${text}`);
      this.#emit("error", { code });
    }
  }

  customElements.define(TAG, Configurator);

  /** For site builders that let no element of one's own through: <div data-tuckline data-package="track">, with the link in it. */
  function fillBoxes() {
    for (const box of document.querySelectorAll("[data-tuckline]")) {
      if (box.querySelector(TAG)) continue;
      const made = document.createElement(TAG);
      for (const name of [...START, ...LOOK, "height"]) {
        const value = box.getAttribute(`data-${name}`);
        if (value) made.setAttribute(name, value);
      }
      made.append(...box.childNodes);
      box.append(made);
    }
  }
  fillBoxes();
  document.addEventListener("DOMContentLoaded", fillBoxes);
})();
