/** Presenting: one explorer, large, over all else in the window. */
import { guardKeys } from "./keys.js";

const FOCUSABLE = "button, input, select, summary, textarea, a[href], [tabindex]:not([tabindex='-1'])";

/** The width at which marks have their usual size, and how much larger they may be beside frets that far apart. */
const USUAL_WIDTH = 1180;
const MARK_GAIN = 1.2;
const LARGEST = 2.4;
/** So much of the window's height the necks may have, their titles not counted. */
const HEIGHT_SHARE = 0.8;

export class Presenter {
  #root;
  #stage = null;
  #onChange;
  #unguard = null;
  #backwards = false;
  #height;

  /**
   * @param {HTMLElement} root of an explorer
   * @param {function(number)} onChange told how large its marks are to be
   * @param {function(): number} height of its necks together, in pixels, with marks of the usual size
   */
  constructor(root, onChange, height = () => 0) {
    this.#root = root;
    this.#height = height;
    this.#onChange = onChange;
  }

  get on() {
    return this.#stage !== null;
  }

  toggle() {
    if (!this.leave()) this.#enter();
  }

  #enter() {
    // Its menus come along: in a notebook they are widgets of their own.
    const stage = this.#root.closest(".tk-stage") ?? this.#root;
    this.#stage = stage;
    stage.classList.add("tk-presenting");
    stage.setAttribute("role", "dialog");
    stage.setAttribute("aria-label", "Presenting; Escape leaves");
    // The top layer lies over all else, whatever clips or moves the parents, and nothing is taken from its place.
    if (stage.showPopover) {
      stage.popover = "manual";
      stage.showPopover();
    }
    stage.addEventListener("keydown", this.#key);
    window.addEventListener("focusin", this.#keepInside);
    window.addEventListener("resize", this.#resize);
    this.#unguard = guardKeys(stage);
    if (!stage.contains(document.activeElement)) this.#root.focus();
    stage.scrollTop = 0;
    this.#resize();
  }

  /** Tells whether there was anything to leave. */
  leave() {
    const stage = this.#stage;
    if (!stage) return false;
    const focused = document.activeElement;
    this.#stage = null;
    stage.removeEventListener("keydown", this.#key);
    window.removeEventListener("focusin", this.#keepInside);
    window.removeEventListener("resize", this.#resize);
    this.#unguard();
    if (stage.showPopover) {
      if (stage.matches(":popover-open")) stage.hidePopover();
      stage.removeAttribute("popover");
    }
    stage.classList.remove("tk-presenting");
    stage.removeAttribute("role");
    stage.removeAttribute("aria-label");
    (stage.contains(focused) ? focused : this.#root).focus({ preventScroll: true });
    this.#root.scrollIntoView?.({ block: "nearest" });
    this.#onChange(1);
    return true;
  }

  #resize = () => {
    const { clientWidth, clientHeight } = this.#stage;
    const wide = (MARK_GAIN * clientWidth) / USUAL_WIDTH;
    const high = (HEIGHT_SHARE * clientHeight) / this.#height();
    this.#onChange(Math.max(Math.min(wide, high, LARGEST), 1));
  };

  #key = (event) => {
    if (event.key === "Escape" && !event.defaultPrevented) {
      event.preventDefault();
      event.stopPropagation();
      this.leave();
    } else if (event.key === "Tab") this.#backwards = event.shiftKey;
  };

  /** What lies under the presentation can't be seen: the focus goes round in it. */
  #keepInside = ({ target }) => {
    if (this.#stage.contains(target)) return;
    const places = [...this.#stage.querySelectorAll(FOCUSABLE)].filter((one) => one.checkVisibility?.() ?? one.offsetParent);
    places.at(this.#backwards ? -1 : 0)?.focus();
  };
}
