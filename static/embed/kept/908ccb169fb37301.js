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
  const SILENT_AFTER_MS = 12000;
  const FIRST_HEIGHT_PX = 760;
  const script = document.currentScript;
  if (customElements.get(TAG) || !(script instanceof HTMLScriptElement)) return;
  const home = new URL(script.src).origin;

  // The host page's rules don't reach into a shadow tree, and important rules in here beat its own on the element itself.
  const CSS = `
    :host { all: initial !important; display: block !important; position: relative !important; inline-size: 100% !important; }
    :host([hidden]) { display: none !important; }
    iframe { display: block; inline-size: 100%; border: 0; color-scheme: normal; }
    div { display: none; font: 16px/1.5 sans-serif; padding: 16px; }
    .silent iframe { display: none; }
    .silent div { display: block; }
  `;

  class Configurator extends HTMLElement {
    static observedAttributes = [...LOOK, "height"];
    /** @type {HTMLIFrameElement | null} */
    #frame = null;
    /** @type {HTMLElement | null} */
    #box = null;
    #ready = 0;
    #silence = 0;
    #queued = false;
    /** @type {AbortController | null} */
    #life = null;
    /** @type {number[]} */
    #heights = [];

    connectedCallback() {
      this.#life = new AbortController();
      const { signal } = this.#life;
      this.#build();
      window.addEventListener("message", (event) => this.#hear(event), { signal });
      for (const type of ["scroll", "resize"]) {
        window.addEventListener(type, () => this.#queueStrip(), { signal, passive: true, capture: true });
      }
      this.#silence = window.setTimeout(() => this.#onSilence(), SILENT_AFTER_MS);
    }

    disconnectedCallback() {
      this.#life?.abort();
      window.clearTimeout(this.#silence);
      this.#frame?.remove();
      this.#frame = null;
      this.#ready = 0;
    }

    /** @param {string} name */
    attributeChangedCallback(name) {
      if (!this.#frame) return;
      if (name === "height") this.#size();
      else if (this.#ready) this.#tell("look", this.#look());
      else this.#frame.src = this.#address();
    }

    #build() {
      const root = this.shadowRoot ?? this.attachShadow({ mode: "open" });
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(CSS);
      root.adoptedStyleSheets = [sheet];
      this.#box = document.createElement("section");
      this.#frame = document.createElement("iframe");
      this.#frame.title = this.querySelector("a")?.textContent?.trim() || "Paint protection film: plan and price range";
      this.#frame.loading = "lazy";
      this.#frame.referrerPolicy = "strict-origin-when-cross-origin";
      this.#frame.setAttribute("sandbox", "allow-scripts allow-forms allow-same-origin allow-popups allow-popups-to-escape-sandbox allow-downloads");
      this.#frame.src = this.#address();
      const instead = document.createElement("div");
      instead.append(document.createElement("slot"));
      this.#box.append(this.#frame, instead);
      root.replaceChildren(this.#box);
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
      const address = new URL("/embed/configure", home);
      const start = Object.fromEntries(START.map((name) => [name, this.getAttribute(name) ?? ""]));
      for (const [name, value] of Object.entries({ ...start, ...this.#look(), site: location.origin })) {
        if (value) address.searchParams.set(name, value);
      }
      return address.href;
    }

    /** The height a host asks for in pixels, or 0: as high as the content. */
    #fixed() {
      return Math.max(0, parseInt(this.getAttribute("height") ?? "", 10) || 0);
    }

    /** @param {number} [content] */
    #size(content) {
      const frame = this.#frame;
      if (!frame) return;
      frame.setAttribute("scrolling", this.#fixed() ? "auto" : "no");
      frame.style.setProperty("block-size", `${this.#fixed() || content || FIRST_HEIGHT_PX}px`);
    }

    /** @param {MessageEvent} event */
    #hear(event) {
      if (!this.#frame || event.source !== this.#frame.contentWindow || event.origin !== home) return;
      const { protocol, version, type, payload } = Object(event.data);
      if (protocol !== PROTOCOL || version !== VERSION || typeof payload !== "object" || payload === null) return;
      if (type === "ready") this.#onReady(payload);
      else if (type === "size") this.#onSize(Number(payload.height));
      else if (type === "show") this.#onShow(Number(payload.top));
      else if (["estimate", "submitted", "error"].includes(type)) this.#emit(type, payload);
    }

    /** @param {object} payload */
    #onReady(payload) {
      window.clearTimeout(this.#silence);
      this.#box?.classList.remove("silent");
      this.#heights = [];
      this.#ready += 1;
      // After a step inside the frame the new page begins at its top; bring it into view if that was scrolled past.
      if (this.#ready > 1 && this.getBoundingClientRect().top < 0) this.scrollIntoView({ block: "start" });
      this.#queueStrip();
      if (this.#ready === 1) this.#emit("ready", payload);
    }

    /** @param {number} height */
    #onSize(height) {
      if (!(height > 0 && height < 100000) || this.#fixed()) return;
      // Two heights that take turns would go on for ever; the larger one stays.
      const [last, before] = this.#heights.slice(-2).reverse();
      const swinging = this.#heights.length > 6 && before === height && last !== height;
      const settled = swinging ? Math.max(height, last) : height;
      this.#heights = [...this.#heights.slice(-7), settled];
      this.#size(settled);
      this.#queueStrip();
    }

    /** @param {number} top */
    #onShow(top) {
      const from = this.#frame?.getBoundingClientRect().top ?? 0;
      if (!Number.isFinite(top) || this.#fixed()) return;
      if (from + top < 0 || from + top > window.innerHeight - 80) window.scrollBy({ top: from + top - 80 });
    }

    /** Tells the frame which part of it can be seen, since it has no scroll of its own. */
    #queueStrip() {
      if (this.#queued || !this.#ready) return;
      this.#queued = true;
      requestAnimationFrame(() => {
        this.#queued = false;
        const box = this.#frame?.getBoundingClientRect();
        if (!box) return;
        const top = Math.max(0, -box.top);
        const bottom = Math.min(box.height, window.innerHeight - box.top);
        this.#tell("strip", { top: Math.round(top), bottom: Math.round(Math.max(top, bottom)), fixed: Boolean(this.#fixed()) });
      });
    }

    /** @param {string} type @param {object} payload */
    #tell(type, payload) {
      this.#frame?.contentWindow?.postMessage({ protocol: PROTOCOL, version: VERSION, type, payload }, home);
    }

    /** @param {string} name @param {object} detail */
    #emit(name, detail) {
      this.dispatchEvent(new CustomEvent(`tuckline:${name}`, { detail, bubbles: true, composed: true }));
    }

    #onSilence() {
      if (this.#ready) return;
      this.#box?.classList.add("silent");
      this.#emit("error", { code: "no_answer" });
      console.warn(`<${TAG}>: no answer from ${home}. Is ${location.origin} on the shop's list of sites, and does this page's frame-src allow ${home}?`);
    }
  }

  customElements.define(TAG, Configurator);
})();
