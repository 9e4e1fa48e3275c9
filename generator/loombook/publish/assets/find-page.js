/* The page of the fault finder: a box to type in, then what is dead and what works, then where to measure.
 *
 * It fills the element `lb-find` from the data block `lb-find-data`, which is JSON. Every name goes into the page as text,
 * never as markup. Without script the page's own list stays.
 */
(() => {
  "use strict";

  /* An element. Attributes: `text`, `on` (event → function), all others as they are; children that are null are left out. */
  function make(tag, attributes, ...children) {
    const node = document.createElement(tag);
    for (const [key, value] of Object.entries(attributes || {})) {
      if (value === undefined || value === null) continue;
      if (key === "text") node.textContent = value;
      else if (key === "on") Object.entries(value).forEach(([event, run]) => node.addEventListener(event, run));
      else node.setAttribute(key, value);
    }
    node.append(...children.flat(Infinity).filter(Boolean));
    return node;
  }

  const button = (text, run, more) => make("button", { type: "button", text, on: { click: run }, ...more });
  const named = (words, url) => (url ? make("a", { href: url, text: words, dir: "auto" }) : make("span", { text: words, dir: "auto" }));
  const volts = (value) => value.toFixed(1) + " V";

  class Finder {
    constructor(root, data) {
      this.root = root;
      this.data = data;
      this.state = 0;          // which way of using the boat
      this.marks = new Map();  // consumer → "dead" or "works"
      this.answers = [];       // readings taken, in order
      this.names = data.consumers;
      this.index = null;       // of the things to look up, made when the page is at rest or when it is first needed
      this.draw();
      this.fromAddress();
      addEventListener("hashchange", () => this.fromAddress());
      setTimeout(() => this.ready(), 0);
      setTimeout(() => this.rehearse(), 300);
    }

    draw() {
      this.box = make("input", {
        type: "text", inputmode: "search", role: "searchbox", id: "lb-find-box", autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "search",
        placeholder: "bilge pump, F12, red wire …", on: { input: () => this.showResults(), focus: () => this.box.select() },
      });
      this.label = make("label", { for: "lb-find-box", class: "lb-find-label", text: "What is dead, or what do you look for?" });
      this.results = make("div", { class: "lb-find-results", "aria-live": "polite" });
      this.fault = make("section", { class: "lb-find-fault", "aria-labelledby": "lb-find-fault", hidden: "" });
      this.root.replaceChildren(
        this.label, this.box, this.results, this.fault);
    }

    /* A page of the manual leads here with `#C21`: that device is dead. A drawing in the pocket file with `#look=F12`. */
    fromAddress() {
      const hash = decodeURIComponent(location.hash.slice(1));
      if (hash.startsWith("look=")) {
        this.box.value = hash.slice(5);
        this.showResults();
        this.box.scrollIntoView({ block: "start" });
        return;
      }
      const thing = this.data.things.find((other) => other.id === hash && other.consumer !== undefined);
      if (thing && !this.marks.has(thing.consumer) && this.root.dataset.address !== "look") this.mark(thing.consumer, "dead");
    }

    // ---- looking up ----

    ready() {
      this.index ||= loombookFind.indexed(this.data.things);
      return this.index;
    }

    /* Looks something up that nobody asked for, so that the first letter typed costs no more than the later ones. */
    rehearse() {
      loombookFind.wordsOf(this.ready());
      for (const words of ["a", "e", "o"]) loombookFind.lookUp(this.ready(), words).forEach((thing) => this.result(thing, true));
    }

    showResults() {
      const found = loombookFind.lookUp(this.ready(), this.box.value);
      const rows = found.map((thing, n) => this.result(thing, n === 0));
      if (!rows.length && this.box.value.trim()) {
        rows.push(make("p", { text: "Nothing aboard is called that. Try another word for it, its label, or the list below." }));
      }
      this.results.replaceChildren(...rows);
      if (rows.length) this.bringUp();
    }

    /* On a phone, half of which the keyboard takes: the box goes to the top, so that the answer below it is seen. */
    bringUp() {
      const seen = window.visualViewport ? visualViewport.height : innerHeight;
      if (this.results.firstChild.getBoundingClientRect().bottom > seen) this.box.scrollIntoView({ block: "start" });
    }

    result(thing, whole) {
      const rows = whole ? thing.answer : thing.answer.slice(0, 2);
      const facts = make("dl", { class: "lb-facts" },
        rows.map(([term, words]) => [make("dt", { text: term }), make("dd", { text: words, dir: "auto" })]));
      const head = make("p", { class: "lb-find-name" }, named(thing.name, thing.url),
        thing.id && !thing.name.includes(thing.id) ? make("span", { class: "lb-id", text: thing.id }) : null);
      const isDevice = thing.consumer !== undefined;
      return make("section", { class: whole ? "lb-answer lb-find-result" : "lb-find-result" }, head, facts,
        isDevice ? this.markButtons(thing.consumer, "It is dead: find out why", whole ? "It works" : "") : null);
    }

    markButtons(consumer, dead, works) {
      const press = (value) => () => this.mark(consumer, this.marks.get(consumer) === value ? null : value);
      const one = (value, text) => button(text, press(value), {
        "aria-pressed": String(this.marks.get(consumer) === value), "aria-label": this.names[consumer] + ": " + text });
      return make("p", { class: "lb-find-buttons" }, one("dead", dead), works ? one("works", works) : null);
    }

    // ---- what is dead, what works ----

    mark(consumer, value) {
      if (value) this.marks.set(consumer, value);
      else this.marks.delete(consumer);
      this.answers = [];
      this.box.value = "";
      this.showResults();
      this.showFault(true);
    }

    marked(value) {
      return [...this.marks].filter(([, mark]) => mark === value).map(([consumer]) => consumer).sort((a, b) => a - b);
    }

    startAgain() {
      this.marks.clear();
      this.answers = [];
      if (location.hash) history.replaceState(null, "", location.pathname + location.search);
      this.showFault();
      this.box.focus();
    }

    showFault(move) {
      const dead = this.marked("dead"), works = this.marked("works");
      this.fault.hidden = !this.marks.size;
      if (!this.marks.size) return;
      const { suspects } = this.data.states[this.state];
      const explanations = loombookFind.explain(suspects, dead, works);
      const heading = make("h2", { id: "lb-find-fault", tabindex: "-1", text: "Find the fault" });
      this.fault.replaceChildren(...[
        heading,
        make("p", { class: "lb-find-smoke" }, make("strong", { text: "Smoke, heat or a smell? " }),
          named("Isolate first.", this.data.isolate.url)),
        this.markList(dead, works),
        this.stateChoice(),
        ...(dead.length ? this.search(dead, suspects, explanations) : [make("p", { text: "Now say what is dead." })]),
        make("p", { class: "lb-find-buttons" }, button("Start again", () => this.startAgain())),
      ].filter(Boolean));
      if (move) {
        heading.focus({ preventScroll: true });
        heading.scrollIntoView({ block: "start" });
      }
    }

    markList(dead, works) {
      const row = (consumer, word) => make("li", {},
        make("strong", { text: word + ": " }), make("span", { text: this.names[consumer] + " ", dir: "auto" }),
        button("undo", () => this.mark(consumer, null), { "aria-label": "undo: " + this.names[consumer] }));
      return make("ul", { class: "lb-find-marks" }, dead.map((c) => row(c, "Dead")), works.map((c) => row(c, "Works")));
    }

    stateChoice() {
      if (this.data.states.length < 2) return null;
      const choice = make("select", { id: "lb-find-state", on: { change: () => {
        this.state = Number(choice.value);
        this.answers = [];
        this.showFault();
      } } }, this.data.states.map((state, n) => make("option", { value: n, text: state.name })));
      choice.value = String(this.state);
      return make("p", { class: "lb-find-state" },
        make("label", { for: "lb-find-state", text: "How is she now? " }), choice);
    }

    search(dead, suspects, explanations) {
      const unfed = dead.filter((c) => this.data.states[this.state].unfed.includes(c));
      if (unfed.length) return [this.unfed(unfed)];
      if (!explanations.length) {
        return [make("p", { class: "lb-box", text: "No one fault and no two explain this. Look again at what is dead and what "
          + "works, and at the switches. Otherwise measure from the battery outwards." })];
      }
      const suspected = this.suspected(suspects, explanations.filter((e) => e.faults === explanations[0].faults));
      const left = this.narrowed(dead, suspects, suspected, explanations);
      const still = left.length ? left : explanations;
      return [
        left.length ? null : make("p", { class: "lb-box", text: "Nothing on these lists fits all the readings. A second part may have "
          + "failed that another stands in for. The lists are as they were before the readings." }),
        this.firstLook(still),
        this.questions(suspects, still),
        this.measuring(dead, suspected),
        this.everything(still),
      ];
    }

    /* The explanations that the readings leave. Where to measure is decided by all of them, or it would change under way. */
    narrowed(dead, suspects, suspected, explanations) {
      const state = this.data.states[this.state], consumer = loombookFind.wayToMeasure(this.data, state, dead, suspected);
      if (consumer === null || !this.answers.length) return explanations;
      const readings = loombookFind.told(this.data, state, consumer, this.answers);
      return loombookFind.explain(suspects, dead, this.marked("works"), readings, this.data.parts.map((part) => part.weight));
    }

    unfed(consumers) {
      const fed = this.data.states.map((state, n) => [state, n]).filter(([state]) => !consumers.some((c) => state.unfed.includes(c)));
      return make("div", { class: "lb-answer" },
        make("p", { class: "lb-find-name", text: "Nothing feeds it, as the switches stand" }),
        make("p", { text: consumers.map((c) => this.names[c]).join(", ") + ": no source reaches it in the way of using the boat that is chosen above."
          + (fed.length ? " It is fed when she is used like this:" : "") }),
        make("p", { class: "lb-find-buttons" },
          fed.map(([state, n]) => button(state.name, () => { this.state = n; this.answers = []; this.showFault(); }))));
    }

    // ---- what it can be ----

    /* Part → weight: how far it is suspected. */
    suspected(suspects, explanations) {
      const found = new Map();
      explanations.forEach((explanation) => explanation.suspects.forEach((i) => {
        for (const part of suspects[i].parts.concat(suspects[i].also || [])) found.set(part, this.data.parts[part].weight);
      }));
      return found;
    }

    partLine(index) {
      const part = this.data.parts[index];
      return make("li", {}, named(part.name, part.url), part.place ? make("span", { class: "lb-where", text: part.place, dir: "auto" }) : null);
    }

    /* What can be looked at without a meter, in the likeliest explanation. */
    firstLook(explanations) {
      const easy = ["fuse", "breaker", "switch", "bms", "mains", "converter"];
      const first = explanations[0].left.flat();
      const worth = (p) => this.data.parts[p].weight / (this.data.parts[p].hidden ? 2 : 1); // what is easy to reach first
      const parts = first.filter((p) => easy.includes(this.data.parts[p].kind)).sort((a, b) => worth(b) - worth(a) || a - b).slice(0, 5);
      if (!parts.length) return null;
      const two = explanations[0].faults === 2;
      return make("div", { class: "lb-answer" },
        make("p", { class: "lb-find-name", text: two ? "Two faults at once. Look at these first" : "Look at these first" }),
        make("ol", { class: "lb-find-parts" }, parts.map((p) => this.partLine(p))),
        parts.some((p) => this.data.parts[p].kind === "fuse") ? make("p", { class: "lb-find-caution", text: this.data.larger }) : null);
    }

    questions(suspects, explanations) {
      const asked = loombookFind.questions(suspects, explanations, (c) => this.marks.has(c)).slice(0, 3);
      if (!asked.length) return null;
      return make("div", { class: "lb-box" },
        make("p", { class: "lb-find-name", text: "Do these work? Each answer narrows it down" }),
        make("ul", { class: "lb-find-questions" }, asked.map(({ consumers: [c, ...others] }) => make("li", {},
          make("span", { text: this.names[c], dir: "auto" }),
          others.length ? make("span", { class: "lb-where", dir: "auto",
            text: "Or, which tells the same: " + others.slice(0, 3).map((o) => this.names[o]).join(", ") + (others.length > 3 ? " …" : "") }) : null,
          this.markButtons(c, "Dead", "Works")))));
    }

    everything(explanations) {
      const rows = explanations.slice(0, 6).map((explanation) => make("li", {},
        make("p", { text: (explanation.faults === 2 ? "Two faults: one of these" : "One of these")
          + (explanation.untold ? ". Then " + explanation.untold + " more would be dead that you have not looked at" : "") }),
        explanation.left.map((parts, n) => [n ? make("p", { text: "and one of these" }) : null,
          make("ul", { class: "lb-find-parts" }, parts.map((p) => this.partLine(p)))])));
      const words = this.answers.length ? "All that it can be after these readings, likeliest first" : "All that it can be, likeliest first";
      return make("details", { class: "lb-find-all" }, make("summary", { text: words }),
        make("ol", {}, rows));
    }

    // ---- where to measure ----

    measuring(dead, suspected) {
      const state = this.data.states[this.state];
      const consumer = loombookFind.wayToMeasure(this.data, state, dead, suspected);
      if (consumer === null) return null;
      const now = loombookFind.follow(this.data, state, consumer, suspected, this.answers);
      const ask = { source: () => this.askSource(consumer, now), point: () => this.askPoint(consumer, now), mains: () => this.askMains(now),
        found: () => this.found(now), odd: () => make("p", { text: "These readings do not fit one fault. Take them back and measure again, "
          + "with the device switched on all the time." }) }[now.ask];
      return make("div", { class: "lb-answer lb-find-measure" }, ask(),
        this.answers.length ? make("p", { class: "lb-find-buttons" }, button("Take the last reading back", () => this.take(null))) : null);
    }

    /* Takes a reading, or with null the last one back. What to do next comes to the top, for eyes and for a screen reader. */
    take(answer) {
      if (answer) this.answers.push(answer);
      else this.answers.pop();
      this.showFault();
      const next = this.fault.querySelector(".lb-find-measure > * > .lb-find-name");
      if (!next) return;
      next.tabIndex = -1;
      next.focus({ preventScroll: true });
      next.scrollIntoView({ block: "start" });
    }

    /* The number box with its three buttons. `judge` turns volts into an answer. */
    readingBox(judge, right, wrong, rightWords, wrongWords) {
      const box = make("input", { type: "text", inputmode: "decimal", id: "lb-find-reading", size: "6", autocomplete: "off",
        on: { keydown: (event) => { if (event.key === "Enter") use(); } } });
      const use = () => {
        const read = parseFloat(box.value.replace(",", "."));
        if (Number.isFinite(read)) this.take(judge(read));
        else box.focus();
      };
      return make("div", {},
        make("p", { class: "lb-find-reading" }, make("label", { for: "lb-find-reading", text: "Meter reads, in volts " }), box, button("Go on", use)),
        make("p", { class: "lb-find-buttons" }, button(rightWords, () => this.take(right)), button(wrongWords, () => this.take(wrong))));
    }

    caution() {
      return make("p", { class: "lb-find-caution", text: "Take rings and watch off. One hand on the meter's leads, none on metal. Never bridge two "
        + "terminals: a battery melts a spanner. Not sure? Stop." });
    }

    askSource(consumer, { loop }) {
      const low = 0.9 * loop.volts[0];
      return make("div", {},
        make("p", { class: "lb-find-name", text: "With a meter: begin at the source" }),
        make("p", { dir: "auto", text: "Switch on: " + this.names[consumer] + ". Meter on direct current. Black lead on: "
          + this.pointName(loop, loop.points.length - 1) + ". Red lead on: " + this.pointName(loop, 0) + "." }),
        this.pointPlace(loop, 0),
        make("p", { text: "Right is about " + volts(loop.volts[0]) + "." }),
        this.caution(),
        this.readingBox((read) => ({ source: read >= low, volts: read }), { source: true }, { source: false }, "About right", "Nothing, or much less"));
    }

    askPoint(consumer, { loop, point, base }) {
      const back = point >= loop.turn;
      const below = loop.volts[0] - loop.volts[point];
      const right = base === null ? loop.volts[point] : base - below;
      const words = back
        ? "This is the way back. Less than " + volts(Math.max(loop.volts[point], 0) + this.data.tolerance * loop.nominal)
          + ": the fault lies before this point. More: the way back is open further on."
        : "Right is about " + volts(right) + ": then the fault lies further on. Less, or nothing: it lies before this point.";
      const judge = (read) => ({ point, further: loombookFind.isFurther(this.data, loop, point, read, base) });
      return make("div", {},
        make("p", { class: "lb-find-name", dir: "auto", text: "Red lead on: " + this.pointName(loop, point) }),
        this.pointPlace(loop, point),
        make("p", { dir: "auto", text: "Keep " + this.names[consumer] + " switched on. Black lead stays on: "
          + this.pointName(loop, loop.points.length - 1) + ". Any spare wire lengthens the lead." }),
        make("p", { text: words }),
        this.answers.length ? null : this.caution(),
        back ? this.readingBox(judge, { point, further: true }, { point, further: false }, "Voltage here", "Next to nothing")
          : this.readingBox(judge, { point, further: true }, { point, further: false }, "About right", "Nothing, or much less"));
    }

    pointName(loop, at) {
      return this.data.points[loop.points[at]].name;
    }

    pointPlace(loop, at) {
      const point = this.data.points[loop.points[at]];
      return make("p", { class: "lb-where", dir: "auto", text: (point.hidden ? "HIDDEN. " : "") + point.place });
    }

    askMains({ loop }) {
      const more = this.data.states[this.state].feeds[loop.sourcePart] !== undefined;
      return make("div", {},
        make("p", { class: "lb-find-name", text: "Measure nothing here" }),
        make("p", { text: this.data.mains }),
        make("p", { dir: "auto", text: "Look whether its source works: " + loop.source + "." }),
        more ? make("p", { class: "lb-find-buttons" }, button("The source gives nothing", () => this.take({ source: false }))) : null);
    }

    found({ parts }) {
      return make("div", {},
        make("p", { class: "lb-find-name", text: parts.length > 1 ? "It is one of these" : "It is here" }),
        make("ul", { class: "lb-find-parts" }, parts.map((p) => this.partLine(p))),
        this.advice(parts));
    }

    advice(parts) {
      const kinds = [...new Set(parts.map((p) => this.data.parts[p].kind))];
      return make("dl", { class: "lb-facts" }, kinds.map((kind) => {
        const [look, attempt, stop] = this.data.advice[kind] || this.data.advice.other;
        return [["Look for", look], ["Try", attempt], ["Stop", stop]].map(([term, words]) => [make("dt", { text: term }), make("dd", { text: words })]);
      }));
    }
  }

  function start() {
    const root = document.getElementById("lb-find"), block = document.getElementById("lb-find-data");
    if (root && block) root.finder = new Finder(root, loombookFind.unpacked(JSON.parse(block.textContent)));
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
