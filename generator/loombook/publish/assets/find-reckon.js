/* Fault finding without a page: what explains what is dead, where to measure next, and looking things up.
 *
 * explain, told and bestPoint are the same reckoning as network/explain.py, metered.py and loops.py; a test holds them together.
 * Everything here is a pure function of the data block; find-page.js shows it.
 */
const loombookFind = (() => {
  "use strict";

  const MOST_EXPLANATIONS = 24;
  const MOST_RESULTS = 12;
  const TWICE = 0.05; // how much rarer two faults at once are than one, as in network/suspects.py

  /* The data block as it was before texts that it says more than once were kept apart: see publish/datablock.py. */
  function unpacked({ texts, value }) {
    const whole = (inner) => {
      if (typeof inner === "string") return inner[0] !== "=" ? inner : inner[1] === "=" ? inner.slice(1) : texts[inner.slice(1)];
      if (Array.isArray(inner)) return inner.map(whole);
      return inner && typeof inner === "object" ? Object.fromEntries(Object.entries(inner).map(([key, v]) => [key, whole(v)])) : inner;
    };
    return whole(value);
  }

  // ---- what explains it ----

  /* What explains all that is dead and nothing that works: one fault before two, then those that leave least untold,
   * then the likeliest. Consumers are indices. `readings` are those of `told`; `weights`: part → how likely it is. */
  function explain(suspects, dead, working, readings = [], weights = []) {
    if (!dead.length) return [];
    const isDead = new Set(dead), works = new Set(working);
    const lost = suspects.map((suspect) => new Set(suspect.lost));
    const covers = (i) => dead.every((c) => lost[i].has(c));
    const possible = [];
    suspects.forEach((suspect, i) => {
      if (suspect.lost.some((c) => isDead.has(c)) && !suspect.lost.some((c) => works.has(c))) possible.push(i);
    });
    const untold = (taken) => [...taken].filter((c) => !isDead.has(c)).length;
    const single = possible.filter((i) => !suspects[i].also && !covers(i));
    const known = (some) => (some.length === 1 ? some[0].weight : TWICE * some[0].weight * some[1].weight);
    const weightOf = (groups) => known(groups.map((group) => ({ weight: group.reduce((sum, part) => sum + weights[part], 0) })));
    const found = [];
    const hold = (taken) => { // takes these suspects for an explanation, if the readings leave them
      const some = taken.map((i) => suspects[i]);
      const groups = left(some.flatMap((suspect) => [suspect.parts, suspect.also]).filter(Boolean), readings);
      if (!groups.length) return false;
      return found.push({
        suspects: taken, faults: groups.length, untold: untold(new Set(taken.flatMap((i) => suspects[i].lost))),
        weight: readings.length ? weightOf(groups) : known(some), left: groups,
      });
    };
    for (const i of possible.filter(covers)) {
      if (hold([i]) || suspects[i].also) continue;
      for (const j of possible) { // a second fault, whose dead are dead by the first one, too
        if (!suspects[j].also && j !== i && suspects[j].lost.every((c) => lost[i].has(c))) hold([i, j]);
      }
    }
    pairs(single, lost, dead).forEach(hold);
    found.sort((x, y) => x.faults - y.faults || x.untold - y.untold || y.weight - x.weight
      || x.suspects[0] - y.suspects[0] || (x.suspects.length - y.suspects.length) || x.suspects[1] - y.suspects[1]);
    return found.slice(0, MOST_EXPLANATIONS);
  }

  /* Pairs that take all the dead together: one of them takes the dead consumer that has the fewest suspects. */
  function pairs(single, lost, dead) {
    const takers = new Map(dead.map((c) => [c, single.filter((i) => lost[i].has(c))]));
    const rarest = [...takers.values()].reduce((best, list) => (list.length < best.length ? list : best));
    const found = new Map();
    for (const i of rarest) {
      const rest = dead.filter((c) => !lost[i].has(c));
      for (const j of takers.get(rest[0])) {
        if (rest.every((c) => lost[j].has(c))) found.set(Math.min(i, j) + " " + Math.max(i, j), [Math.min(i, j), Math.max(i, j)]);
      }
    }
    return [...found.values()];
  }

  // ---- what the readings say, as in network/metered.py ----

  /* Of one or two groups, of each of which one part has failed, the parts that account for every reading; empty where
   * nothing in them does. A reading: a part that has failed is among these parts, or one is not among them. */
  function left(groups, readings) {
    const has = readings.map(({ parts }) => new Set(parts));
    const told = (part) => readings.reduce((bits, { among }, n) => bits | (has[n].has(part) === among ? 1 << n : 0), 0);
    const whole = (1 << readings.length) - 1;
    const rows = groups.map((group) => group.map(told));
    const found = groups.map((group, place) => {
      const others = groups.length > 1 ? new Set(rows[1 - place]) : new Set([0]);
      return group.filter((_, n) => [...others].some((other) => (rows[place][n] | other) === whole));
    });
    return found.every((group) => group.length) ? found : [];
  }

  /* What the answers given along the way of a dead consumer say, each whatever else has failed. If all behind a point that
   * the voltage reaches were sound, the consumer would work; if all before one that it does not reach were, it would be there. */
  function told(data, state, consumer, answers) {
    let loop = data.loops[state.loops[consumer]], good = false;
    return answers.map((answer) => {
      const { parts } = loop;
      if (answer.source === false) {
        loop = data.loops[state.feeds[loop.sourcePart]] || loop;
        good = false;
        return { parts, among: false };
      }
      if (answer.source) {
        good = true;
        return { parts, among: true };
      }
      if (answer.further) return { parts: parts.slice(answer.point), among: true };
      return good ? { parts: parts.slice(0, answer.point), among: true } : { parts: parts.slice(answer.point), among: false };
    });
  }

  /* Consumers that nobody has looked at, those first whose state would halve what is suspected, each with the others that
   * would tell the same. */
  function questions(suspects, explanations, isTold) {
    const told = new Map(); // which explanations take it → its consumers
    const total = explanations.reduce((sum, e) => sum + e.weight, 0);
    const takenBy = new Map();
    explanations.forEach((explanation, n) => {
      const taken = new Set(explanation.suspects.flatMap((i) => suspects[i].lost));
      taken.forEach((c) => { if (!isTold(c)) takenBy.set(c, [...(takenBy.get(c) || []), n]); });
    });
    for (const [c, by] of [...takenBy].sort((x, y) => x[0] - y[0])) {
      const key = by.join(" ");
      if (!told.has(key)) {
        const weight = by.reduce((sum, n) => sum + explanations[n].weight, 0);
        told.set(key, { consumers: [], split: Math.min(weight, total - weight) });
      }
      told.get(key).consumers.push(c);
    }
    return [...told.values()].filter((q) => q.split > 0).sort((x, y) => y.split - x.split || x.consumers[0] - y.consumers[0]);
  }

  // ---- where to measure ----

  /* The point of a loop that splits the remaining suspicion best, or null where none does. A hidden point is taken only
   * where no other splits anything. `weights`: part → how likely it is. */
  function bestPoint(parts, hidden, weights) {
    return bestSplit(parts, hidden, weights)?.point ?? null;
  }

  /* That point with what it splits off, and whether it is hidden; null where none splits anything. */
  function bestSplit(parts, hidden, weights) {
    const row = parts.map((part) => weights.get(part) || 0);
    const total = row.reduce((sum, weight) => sum + weight, 0);
    for (const wanted of [false, true]) {
      let before = 0, split = 0, point = null;
      for (let i = 1; i < row.length; i++) {
        before += row[i - 1];
        const here = Math.min(before, total - before);
        if (Boolean(hidden[i]) === wanted && here > split + 1e-9) { split = here; point = i; }
      }
      if (point !== null) return { point, split, hidden: wanted };
    }
    return null;
  }

  /* Of several dead consumers, the one on whose way a reading splits the suspicion best: where it can be reached without
   * opening a lining, and the first of those that are alike. Mains only where nothing else is dead. Null: none is fed. */
  function wayToMeasure(data, state, dead, suspected) {
    let best = null;
    for (const consumer of dead) {
      const loop = data.loops[state.loops[consumer]];
      if (!loop) continue;
      const found = bestSplit(loop.parts, loop.points.map((p) => data.points[p].hidden), suspected);
      const worth = [loop.mains ? 0 : 1, found ? 1 : 0, found && !found.hidden ? 1 : 0, found ? found.split : 0];
      if (best === null || isMore(worth, best.worth)) best = { consumer, worth };
    }
    return best && best.consumer;
  }

  function isMore(one, other) {
    const at = one.findIndex((value, i) => Math.abs(value - other[i]) > 1e-9);
    return at >= 0 && one[at] > other[at];
  }

  /* What is still suspected after a reading: what lies behind the point, or what lies before it. */
  function narrowed(parts, weights, point, further) {
    const left = new Set(further ? parts.slice(point) : parts.slice(0, point));
    return new Map([...weights].filter(([part]) => left.has(part)));
  }

  /* Whether a reading says that the fault lies further on. `base` is what was read at the source, or null. On the way back
   * there is no voltage while all is well, so any voltage means that the way is open further on. */
  function isFurther(data, loop, point, volts, base) {
    const least = data.tolerance * loop.nominal;
    if (point >= loop.turn) return volts > Math.max(loop.volts[point], 0) + least;
    const expected = loop.volts[point];
    return base === null ? volts >= expected - Math.max(least, 0.1 * loop.nominal) : volts >= base - (loop.volts[0] - expected) - least;
  }

  /* Follows one dead consumer through the answers given so far.
   *
   * suspected: part → weight, from the explanations; answers: {source: good, volts} or {point, further}
   * Returns {loop, ask: "source" | "point" | "mains" | "found" | "unfed" | "odd", point, parts, base}. */
  function follow(data, state, consumer, suspected, answers) {
    const unfed = { loop: null, ask: "unfed", parts: [], base: null };
    if (state.loops[consumer] < 0) return unfed;
    let loop = data.loops[state.loops[consumer]], base = null, checked = false;
    let weights = suspicion(data, loop, suspected);
    for (const answer of answers) {
      if (answer.source === false) {
        const before = state.feeds[loop.sourcePart];
        if (before === undefined) return { loop, ask: "found", parts: [loop.sourcePart], base };
        loop = data.loops[before];
        weights = suspicion(data, loop, suspected);
        base = null;
        checked = false;
      } else if (answer.source) {
        base = answer.volts === undefined ? null : answer.volts;
        checked = true;
      } else {
        weights = narrowed(loop.parts, weights, answer.point, answer.further);
      }
    }
    if (loop.mains) return { loop, ask: "mains", parts: [...weights.keys()], base };
    if (!weights.size) return { loop, ask: "odd", parts: [], base };
    const point = bestPoint(loop.parts, loop.points.map((p) => data.points[p].hidden), weights);
    const sourceSuspected = suspected.has(loop.sourcePart) || !loop.parts.some((part) => suspected.has(part));
    if (!checked && sourceSuspected) return { loop, ask: "source", point: 0, parts: [...weights.keys()], base };
    if (point === null) return { loop, ask: "found", parts: loop.parts.filter((part) => weights.get(part)), base };
    return { loop, ask: "point", point, parts: [...weights.keys()], base };
  }

  /* The suspected parts of a loop with their weights; all of them where none is suspected. */
  function suspicion(data, loop, suspected) {
    const some = loop.parts.filter((part) => suspected.has(part));
    return new Map((some.length ? some : loop.parts).map((part) => [part, data.parts[part].weight]));
  }

  // ---- looking up ----

  /* Small letters without accents, and a blank for every sign that is neither letter nor digit, those that turn writing
   * round too: "Éclairage" is found by "eclairage". Lines stay lines. */
  function plain(text) {
    let words = text.toLowerCase();
    if (!/^[\x20-\x7e\n]*$/.test(words)) words = words.normalize("NFD").replace(/\p{M}/gu, "");
    return words.replace(/[^\p{L}\p{N}\n]+/gu, " ").replace(/^ +| +$/gm, "");
  }

  /* Made once for a block: each thing's names and words ready to be searched. All in one go, a line for each name: thousands
   * of short texts cost more than a long one. */
  function indexed(things) {
    const lines = things.flatMap((thing) => [...thing.find, thing.more.join(" ")].map((text) => text.replaceAll("\n", " ")));
    const said = plain(lines.join("\n")).split("\n");
    let next = 0;
    const rows = things.map((thing) => {
      const names = said.slice(next, next + thing.find.length);
      next += thing.find.length;
      const inNames = " " + names.join(" ") + " ";
      return { thing, names, inNames, inAll: inNames + said[next++] + " " };
    });
    return { rows, words: null };
  }

  /* Every word that a name is made of; needed where nothing fits. */
  function wordsOf(index) {
    index.words ||= [...new Set(index.rows.flatMap((row) => row.inNames.split(" ")))].filter((word) => word.length > 2);
    return index.words;
  }

  /* Things that fit what was typed, best first. Names count before places and wires. Where nothing holds all the words,
   * things that hold most of them, and a word may be one slip off. */
  function lookUp(index, typed) {
    const whole = plain(String(typed).replaceAll("\n", " "));
    if (!whole) return [];
    const words = whole.split(" ");
    const found = best(index, (row) => fit(row, words, whole));
    return found.length ? found : nearly(index, words);
  }

  function best(index, rate) {
    const found = []; // the best so far, in their order
    for (const row of index.rows) {
      let score = rate(row);
      if (score <= 0) continue;
      if (row.thing.consumer !== undefined) score += score >= 60 ? 25 : 0.5; // what is missed is looked for first
      if (found.length === MOST_RESULTS && score <= found[MOST_RESULTS - 1].score) continue;
      let place = found.length;
      while (place > 0 && found[place - 1].score < score) place--;
      found.splice(place, 0, { thing: row.thing, score });
      if (found.length > MOST_RESULTS) found.pop();
    }
    return found.map((one) => one.thing);
  }

  function fit(row, words, whole) {
    if (!words.every((word) => row.inAll.includes(word))) return 0;
    if (row.names.includes(whole)) return 120;
    if (row.names[0].startsWith(whole)) return 82;
    if (row.names.some((name) => name.startsWith(whole))) return 80;
    const inNames = Math.min(...words.map((word) => place(row.inNames, word)));
    return inNames ? 30 + 15 * inNames : 10 * Math.min(...words.map((word) => place(row.inAll, word)));
  }

  /* 2 where a word begins so, 1 where it is inside one, 0 where it is not. */
  function place(text, word) {
    return text.includes(" " + word) ? 2 : text.includes(word) ? 1 : 0;
  }

  function nearly(index, words) {
    const meant = words.filter((word) => word.length > 1).map((word) => ({
      word, slips: word.length > 3 ? wordsOf(index).filter((other) => isOneOff(word, other)).slice(0, MOST_RESULTS) : [] }));
    return best(index, (row) => meant.reduce((score, { word, slips }) => score
      + (row.inAll.includes(" " + word) ? 2 : slips.some((slip) => row.inNames.includes(" " + slip + " ")) ? 1.5 : 0), 0));
  }

  /* Whether two words differ by one letter left out, put in, changed, or changed over with its neighbour. */
  function isOneOff(a, b) {
    if (Math.abs(a.length - b.length) > 1) return false;
    let start = 0;
    while (start < a.length && a[start] === b[start]) start++;
    let end = 0;
    while (end < a.length - start && end < b.length - start && a[a.length - 1 - end] === b[b.length - 1 - end]) end++;
    const one = a.slice(start, a.length - end), two = b.slice(start, b.length - end);
    return one.length + two.length <= 2 && one.length < 2 && two.length < 2 || (one.length === 2 && one === two[1] + two[0]);
  }

  return { unpacked, explain, left, told, questions, bestPoint, wayToMeasure, narrowed, isFurther, follow, indexed, lookUp, isOneOff, wordsOf };
})();
if (typeof window !== "undefined") window.loombookFind = loombookFind;
