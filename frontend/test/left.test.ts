import assert from "node:assert/strict";
import { test } from "node:test";

import { leftWords } from "../src/night/left.ts";

const at = (iso: string): number => Date.parse(iso);
const one = { begins: "2027-01-10T18:00:00Z", ends: "2027-01-11T07:00:00Z", begin: "18:00", end: "07:00" };
const left = { known: true, dark: [one], never: "", fits: "", battery: "" };

test("darkness is counted down, before it, in it and after it", () => {
  assert.equal(leftWords(left, at("2027-01-10T16:30:00Z")), "Dark from 18:00 to 07:00, in 1 h 30.");
  assert.equal(leftWords(left, at("2027-01-11T02:55:30Z")), "Dark for another 4 h 04, till 07:00.");
  assert.equal(leftWords(left, at("2027-01-11T07:00:00Z")), "No more darkness tonight.");
});

test("a night in two parts names the one that comes, a moon between them", () => {
  const later = { begins: "2027-01-11T03:00:00Z", ends: "2027-01-11T07:00:00Z", begin: "03:00", end: "07:00" };
  const early = { ...one, ends: "2027-01-10T20:00:00Z", end: "20:00" };
  assert.equal(
    leftWords({ ...left, dark: [early, later] }, at("2027-01-10T21:00:00Z")), "Dark from 03:00 to 07:00, in 6 h 00.",
  );
});

test("a night without darkness says why, and batteries are counted beside", () => {
  const never = { known: true, dark: [], never: "It does not get dark enough.", fits: "", battery: "2027-06-21T23:30:00Z" };
  assert.equal(
    leftWords(never, at("2027-06-21T22:00:00Z")), "It does not get dark enough. Batteries by the plan 1 h 30.",
  );
  assert.ok(leftWords(never, at("2027-06-21T23:31:00Z")).endsWith("Batteries empty by the plan."));
  assert.equal(leftWords({ known: false, dark: [], never: "", fits: "", battery: "" }, 0), "");
});

test("set-ups that fit are told while darkness is to come", () => {
  const told = { ...left, fits: "By the plan, counted at 02:10: 3 set-ups fit before light; 8 left" };
  assert.ok(leftWords(told, at("2027-01-11T02:55:30Z")).endsWith(`till 07:00. ${told.fits}.`));
  assert.equal(leftWords(told, at("2027-01-11T07:00:00Z")), "No more darkness tonight.");
});
