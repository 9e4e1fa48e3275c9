// Drawings: larger and smaller, by wheel, keys, buttons and two fingers; and the way of the current to the item in hand,
// under the mouse or tapped.
// A drawing fits its page without this script; the links in it work, and the browser's own zoom does.
(() => {
  const MOST = 8;
  const STEP = 1.25;
  const STILL = 4; // a pointer that moves less than this [px] clicks and does not drag

  /** What works on a drawing by mouse and keys, and by fingers; the style sheet shows the one that works here. */
  const hints = (svg) => {
    const leads = svg.querySelector("a.lb-item");
    const ways = svg.querySelector(".lb-item[data-branch]") || kind(svg).startsWith("strip-");
    const tap = leads && ways ? "Tap: the way of the current. Again: its page. " : leads ? "Tap: its page. " : "";
    return { mouse: "Ctrl and wheel, or + \u2212 0", touch: `${tap}Two fingers: larger.` };
  };

  // --- larger and smaller ---

  class Zoom {
    constructor(box) {
      this.box = box;
      this.factor = 1;
      box.classList.add("lb-zoomable");
      box.before(this.buttons());
      box.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
      box.addEventListener("keydown", (event) => this.key(event));
      for (const kind of ["touchstart", "touchmove"]) {
        box.addEventListener(kind, (event) => this.touch(event), { passive: false });
      }
      box.addEventListener("pointerdown", (event) => this.drag(event));
      box.addEventListener("dragstart", (event) => event.preventDefault()); // a link is not carried away
    }

    buttons() {
      const row = document.createElement("div");
      row.className = "lb-zoom lb-noprint";
      row.role = "group";
      row.ariaLabel = `Size of: ${this.box.ariaLabel}`;
      const button = (sign, name, press) => {
        const made = document.createElement("button");
        made.type = "button";
        made.textContent = sign;
        if (sign !== name) made.ariaLabel = name;
        made.addEventListener("click", press);
        row.append(made);
        return made;
      };
      button("+", "Larger", () => this.to(this.factor * STEP));
      button("\u2212", "Smaller", () => this.to(this.factor / STEP));
      this.whole = button("Whole sheet", "Whole sheet", () => this.to(1));
      this.whole.disabled = true;
      for (const [hand, what] of Object.entries(hints(this.box.querySelector(":scope > svg")))) {
        const hint = document.createElement("span");
        hint.className = `lb-by-${hand}`;
        hint.textContent = what;
        row.append(hint);
      }
      return row;
    }

    /** Shows the drawing so many times as wide as its box; the point at (x, y) on the screen stays where it is. */
    to(factor, x, y) {
      const box = this.box, frame = box.getBoundingClientRect();
      const wanted = Math.min(MOST, Math.max(1, factor));
      const across = x === undefined ? box.clientWidth / 2 : x - frame.left;
      const down = y === undefined ? Math.min(box.clientHeight, innerHeight) / 2 : y - frame.top;
      const left = (box.scrollLeft + across) / this.factor, top = (box.scrollTop + down) / this.factor;
      this.factor = wanted < 1.01 ? 1 : wanted;
      box.style.setProperty("--lb-zoom", this.factor);
      box.classList.toggle("lb-zoomed", this.factor > 1);
      this.whole.disabled = this.factor === 1;
      box.scrollLeft = left * this.factor - across;
      box.scrollTop = top * this.factor - down;
    }

    wheel(event) {
      if (!event.ctrlKey && !event.metaKey) return; // the page scrolls on
      event.preventDefault();
      this.to(this.factor * Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.002)), event.clientX, event.clientY);
    }

    key(event) {
      if (event.ctrlKey || event.metaKey || event.altKey) return; // the browser's own zoom
      const wanted = { "+": this.factor * STEP, "=": this.factor * STEP, "-": this.factor / STEP, 0: 1 }[event.key];
      if (wanted === undefined) return;
      event.preventDefault();
      this.to(wanted);
    }

    touch(event) {
      if (event.touches.length !== 2) return; // one finger scrolls, the drawing or the page
      event.preventDefault();
      const [one, other] = event.touches;
      const apart = Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY) || 1;
      if (event.type === "touchstart") this.pinch = { apart, factor: this.factor };
      else if (this.pinch) {
        const middle = [(one.clientX + other.clientX) / 2, (one.clientY + other.clientY) / 2];
        this.to((this.pinch.factor * apart) / this.pinch.apart, ...middle);
      }
    }

    drag(down) {
      if (down.pointerType !== "mouse" || down.button || this.factor === 1) return;
      const box = this.box, from = [box.scrollLeft, box.scrollTop];
      let moved = false;
      const move = (event) => {
        const by = [event.clientX - down.clientX, event.clientY - down.clientY];
        moved ||= Math.hypot(...by) > STILL;
        if (moved) box.scrollTo(from[0] - by[0], from[1] - by[1]);
      };
      const click = (event) => { if (moved) event.preventDefault(); };
      const up = () => {
        removeEventListener("pointermove", move);
        setTimeout(() => removeEventListener("click", click, true)); // the click comes after the button is up
      };
      addEventListener("pointermove", move);
      addEventListener("pointerup", up, { once: true });
      addEventListener("click", click, true);
    }
  }

  // --- the way of the current ---

  const drawings = (svg) => [...document.querySelectorAll(".lb-drawing > svg")].filter((other) => kind(other) === kind(svg));
  const kind = (svg) => (svg.dataset.drawing ?? "").replace(/\.\d+$/, "");

  /** The items of a set of sheets that carry the current from each source to an item.
   *
   * A line is all branches that are one over a pair of references. Current comes down a line, and up it unless it is one-way. */
  class Ways {
    constructor(sheets) {
      this.nodes = new Map();
      this.lines = new Map(); // branch → its line
      const tags = new Map(); // key of a reference → its tags
      for (const item of sheets.flatMap((svg) => [...svg.querySelectorAll(".lb-item[data-branch]")])) {
        const { branch, item: key } = item.dataset;
        if (item.classList.contains("lb-node")) this.nodes.set(key, [...(this.nodes.get(key) ?? []), item]);
        else this.lineOf(branch).items.push(item);
        if (item.classList.contains("lb-reference")) tags.set(key, [...(tags.get(key) ?? []), branch]);
        if ("up" in item.dataset) this.note(this.lineOf(branch), item);
      }
      for (const [first, ...others] of tags.values()) others.forEach((other) => this.join(this.lineOf(first), this.lineOf(other)));
    }

    lineOf(branch) {
      const fresh = { branches: new Set([branch]), items: [], ups: new Set(), lows: new Set(), both: true };
      return this.lines.get(branch) ?? this.lines.set(branch, fresh).get(branch);
    }

    note(line, item) {
      if (item.dataset.up) line.ups.add(item.dataset.up);
      if (item.dataset.low) line.lows.add(item.dataset.low);
      line.both &&= "both" in item.dataset;
    }

    join(one, other) {
      if (one === other) return;
      one.items.push(...other.items);
      for (const end of ["ups", "lows", "branches"]) other[end].forEach((name) => one[end].add(name));
      one.both &&= other.both;
      other.branches.forEach((branch) => this.lines.set(branch, one));
    }

    /** The lines that may bring current to a node, each with the nodes it comes from; none where it begins at a source. */
    into(node) {
      return [...new Set(this.lines.values())].flatMap((line) => {
        if (line.lows.has(node)) return [[line, line.ups]];
        return line.both && line.ups.has(node) && line.lows.size ? [[line, line.lows]] : [];
      });
    }

    /** Whether current comes to a node from a source without passing the nodes named. */
    isFed(node, passed) {
      const seen = new Set([...passed, node]), queue = [node];
      while (queue.length) {
        for (const [, ends] of this.into(queue.pop())) {
          if (!ends.size) return true;
          ends.forEach((end) => seen.has(end) || (seen.add(end), queue.push(end)));
        }
      }
      return false;
    }

    to(item) {
      const lit = new Set(), seen = new Set(), queue = [];
      const open = (node) => { if (!seen.has(node)) { seen.add(node); queue.push(node); } };
      if (item.classList.contains("lb-node")) open(item.dataset.item);
      else {
        const line = this.lineOf(item.dataset.branch);
        line.items.forEach((part) => lit.add(part));
        line.ups.forEach(open);
        if (line.both && line.ups.size) [...line.lows].filter((low) => this.isFed(low, line.ups)).forEach(open);
      }
      while (queue.length) {
        const node = queue.pop();
        this.nodes.get(node)?.forEach((part) => lit.add(part));
        for (const [line, ends] of this.into(node)) {
          if (ends.size && ![...ends].some((end) => seen.has(end) || this.isFed(end, [node]))) continue;
          line.items.forEach((part) => lit.add(part));
          ends.forEach(open);
        }
      }
      return lit;
    }
  }

  /** On a strip the current runs down, so what lies above an item feeds it. */
  const above = (svg, item) => {
    const foot = item.getBoundingClientRect().bottom;
    const parts = [...svg.querySelectorAll(".lb-item:not([data-item='~rail'])")];
    return new Set(parts.filter((part) => part === item || part.getBoundingClientRect().bottom <= foot));
  };

  const known = new Map();
  const wayTo = (item) => {
    const svg = item.ownerSVGElement;
    if (kind(svg).startsWith("strip-")) return above(svg, item);
    if (!item.dataset.branch) return new Set();
    if (!known.has(kind(svg))) known.set(kind(svg), new Ways(drawings(svg)));
    return known.get(kind(svg)).to(item);
  };

  let lit = new Set();
  const light = (item) => {
    const way = item ? wayTo(item) : new Set();
    lit.forEach((part) => { part.classList.remove("lb-lit"); part.ownerSVGElement.classList.remove("lb-dim"); });
    way.forEach((part) => { part.classList.add("lb-lit"); part.ownerSVGElement.classList.add("lb-dim"); });
    lit = way;
  };
  const itemOf = (target) => target instanceof Element && target.closest(".lb-drawing .lb-item[data-item]");
  const inHand = () => itemOf(document.activeElement); // what the keyboard has reached stays lit under an idle mouse

  /** A finger cannot hover: the first tap on an item lights its way, the second opens its page. */
  let tapped = null, byFinger = false;
  const tap = (event) => {
    const item = byFinger ? itemOf(event.target) : null;
    if (item && item !== tapped && wayTo(item).size) event.preventDefault();
    if (byFinger) light(item);
    tapped = item;
  };

  const begin = () => {
    const boxes = [...document.querySelectorAll(".lb-drawing:has(> svg.lb-svg)")];
    boxes.filter((box) => box.querySelector(":scope > svg.lb-sheet, :scope > svg[data-drawing^='strip-']")).forEach((box) => new Zoom(box));
    for (const box of boxes) {
      box.addEventListener("pointerover", (event) => event.pointerType !== "touch" && light(itemOf(event.target) || inHand()));
      box.addEventListener("pointerleave", () => light(inHand()));
      box.addEventListener("focusin", (event) => light(itemOf(event.target)));
      box.addEventListener("focusout", () => light(null));
      box.addEventListener("pointerdown", (event) => { byFinger = event.pointerType === "touch"; });
      box.addEventListener("keydown", () => { byFinger = false; });
      box.addEventListener("click", tap);
    }
  };
  if (document.readyState === "loading") addEventListener("DOMContentLoaded", begin);
  else begin();
})();
