"use strict";
// The five statistics that danfojs asks for. The general package weighs 21 MB and takes over a second to load.

function filled(values) {
  if (values.length === 0) throw new Error("a statistic needs at least one value");
  return values;
}

function mean(values) {
  return filled(values).reduce((sum, value) => sum + value, 0) / values.length;
}

/** Sample variance; 0 for a single value, as danfojs expects. */
function variance(values) {
  const centre = mean(values);
  if (values.length < 2) return 0;
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (values.length - 1);
}

function std(values) {
  return Math.sqrt(variance(values));
}

function median(values) {
  const sorted = [...filled(values)].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

function mode(values) {
  const counts = new Map();
  for (const value of filled(values)) counts.set(value, (counts.get(value) ?? 0) + 1);
  const most = Math.max(...counts.values());
  return [...counts].filter(([, count]) => count === most).map(([value]) => value);
}

module.exports = { mean, variance, std, median, mode };
