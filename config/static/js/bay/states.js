// The state of a check as a function of its events, by the very rules of the shop
// (inspections/checklists/state.py says why); a test holds the two against each other.
import { verdict } from "./page.js";

const NAMES = ["sequence", "kind", "verdict", "person", "version", "base", "voids", "keeps", "late", "id"];

export function standing(events) {
  const struck = new Set(events.filter((one) => one.kind === "void").map((one) => one.voids));
  const results = new Map(
    events.filter((one) => one.kind === "result").map((one) => [one.sequence, one]));
  let found = [];
  for (const event of [...events].sort((one, two) => one.sequence - two.sequence)) {
    if (["reopen", "decide"].includes(event.kind)) found = [];
    const kept = event.kind === "decide" ? results.get(event.keeps) : undefined;
    if (event.kind === "result" && !struck.has(event.sequence)) found.push(event);
    else if (kept) {
      found.push({ ...event, kind: "result", verdict: kept.verdict, base: event.sequence });
    }
  }
  return found;
}

function isDisputed(results) {
  const newest = new Map(results.map((one) => [one.person, one]));
  const last = [...newest.values()].sort((one, two) => one.sequence - two.sequence);
  const unseen = last.some((two, at) => last.slice(0, at).some(
    (one) => one.sequence > two.base && one.verdict !== two.verdict));
  return unseen || results.some((one) => one.late);
}

export function stateOf(events, version) {
  const results = standing(events);
  if (!results.length) {
    return events.some((one) => ["reopen", "decide"].includes(one.kind)) ? "again" : "open";
  }
  if (isDisputed(results)) return "decision";
  const last = results.at(-1);
  return last.version !== version ? "again" : last.verdict;
}

// What the page knows of a check, and what this tablet holds beyond it. What was refused counts not.
// `asked` is the check on the page: its kind, limits and version, its events, whether it is signed.
export function stateHere(asked, entries) {
  const events = asked.events.map((row) => Object.fromEntries(NAMES.map((name, at) => [name, row[at]])));
  const places = new Map(events.filter((one) => one.id).map((one) => [one.id, one.sequence]));
  const past = events.length ? events.at(-1).sequence : 0;
  const before = stateOf(events, asked.version);
  const late = asked.released || (asked.signed && !["open", "again"].includes(before));
  for (const { id, number, body, person, sending } of entries) {
    if (places.has(id) || ["refused", "aside"].includes(sending.state)) continue;
    const sequence = past + number;
    if (body.kind === "result") {
      places.set(id, sequence);
      events.push({
        sequence, kind: "result", person, version: body.check_version, base: body.base_sequence, late,
        verdict: verdict(asked, body.pressed, body.value_typed || ""),
      });
    } else if (body.kind === "void" && places.has(body.of)) {
      events.push({ sequence, kind: "void", person, voids: places.get(body.of) });
    }
  }
  return stateOf(events, asked.version);
}
