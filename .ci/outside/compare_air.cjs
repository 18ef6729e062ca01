#!/usr/bin/env node
// Compares the state of the air with psychrolib: compare_air.cjs [N [SEED]]. Fails if one of N random states
// differs by more than the tolerance of its quantity.
"use strict";
const { spawnSync } = require("node:child_process");
const path = require("node:path");
const psychrolib = require("psychrolib");

const root = path.resolve(__dirname, "../..");
const count = Number(process.argv[2] || 2000);
const seed = Number(process.argv[3] || Math.floor(Math.random() * 2 ** 31));

// A small generator (mulberry32), so that a failing seed can be run again.
let state = seed >>> 0;
function random() {
  state = (state + 0x6d2b79f5) >>> 0;
  let t = state;
  t = Math.imul(t ^ (t >>> 15), t | 1);
  t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
  return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
}
const between = (low, high) => low + (high - low) * random();

psychrolib.SetUnitSystem(psychrolib.SI);
const questions = [];
for (let i = 0; i < count; i++) {
  const z = between(-400, 4000), t = between(-30, 55), rh = random() < 0.1 ? 0 : random();
  const p = psychrolib.GetStandardAtmPressure(z);
  const w = psychrolib.GetHumRatioFromRelHum(t, rh, p);
  questions.push({ name: "pressure", args: [z], want: p, rel: 1e-9 });
  questions.push({ name: "saturation", args: [t], want: psychrolib.GetSatVapPres(t), rel: 1e-9 });
  // psychrolib never goes below a humidity ratio of 1e-7.
  questions.push({ name: "humidity_ratio", args: [t, rh, p], want: w, rel: 1e-9, abs: 1.1e-7 });
  questions.push({ name: "density", args: [t, z, rh], want: psychrolib.GetMoistAirDensity(t, w, p), rel: 1e-7 });
}

const input = questions.map((q) => JSON.stringify({ name: q.name, args: q.args })).join("\n") + "\n";
const done = spawnSync("go", ["run", "./sizing/internal/dump"],
  { cwd: root, input, encoding: "utf8", maxBuffer: 1 << 28 });
if (done.status !== 0) {
  console.error("dump failed: " + done.stderr);
  process.exit(1);
}
const answers = done.stdout.trim().split("\n").map(Number);
if (answers.length !== questions.length) {
  console.error(`${answers.length} answers to ${questions.length} questions`);
  process.exit(1);
}
const worst = {};
let wrong = 0;
questions.forEach((q, i) => {
  const off = Math.abs(answers[i] - q.want);
  if (!(off <= Math.max(q.rel * Math.abs(q.want), q.abs || 0))) {
    if (++wrong <= 20) console.error(`DIFFERS ${q.name}(${q.args}): ours ${answers[i]}, theirs ${q.want}`);
  }
  worst[q.name] = Math.max(worst[q.name] || 0, off / Math.abs(q.want));
});
console.log(`psychrolib ${require("psychrolib/package.json").version}, ${count} random states, seed ${seed}`);
for (const [name, w] of Object.entries(worst)) console.log(`  ${name.padEnd(16)} worst relative difference ${w.toExponential(1)}`);
if (wrong) {
  console.error(`${wrong} of ${questions.length} numbers differ`);
  process.exit(1);
}
console.log(`${questions.length} numbers agree`);
