import { describe, expect, test } from "vitest";
import { fitPolynomial } from "../../toolkit/numeric/fit-polynomial.js";
import {
  combineLinear,
  correlation,
  coverageFactor,
  fromCovariance,
  fromReadings,
  fromSimultaneousReadings,
  fromSources,
  type MeasuredValue,
  measured,
  minus,
  over,
  plus,
  propagate,
  propagateSecondOrder,
  times,
  topDownUncertainty,
  wholeDof,
} from "../../toolkit/uncertainty/measured.js";
import { expectPublished, published, publishedIds } from "./published.js";

const used = new Set<string>();
function use(id: string) {
  used.add(id);
  return published(id);
}

describe("first-order propagation", () => {
  const endGauge = use("gum_h1_end_gauge");
  test(endGauge.title, () => {
    const parts = Object.entries<{ u: number; c: number; df: number }>(endGauge.inputs.components);
    const length = fromSources(
      50_000_838,
      "nm",
      parts.map(([source, { u, c, df }]) => ({ source, u, contribution: c * u, dof: df })),
    );
    const { k, high } = length.interval(0.99);
    expectPublished(endGauge, "u_c", length.u);
    expectPublished(endGauge, "nu_eff", wholeDof(length.dof));
    expectPublished(endGauge, "t99", k);
    expectPublished(endGauge, "U99", high - length.value);
    expect(length.budget().map((row) => row.source)).toEqual([
      "standard",
      "delta_theta",
      "difference",
      "delta_alpha",
    ]);
  });

  // α_s, θ and their uncertainties are printed in GUM H.1.2 to H.1.3 [from memory].
  test(`second-order terms: ${endGauge.title}`, () => {
    const inputs = {
      standard: measured(50_000_623, "nm", { u: 25 }),
      difference: measured(215, "nm", { u: 9.7 }),
      deltaAlpha: measured(0, "1/K", { u: 0.58e-6 }),
      deltaTheta: measured(0, "K", { u: 0.029 }),
      alpha: measured(11.5e-6, "1/K", { u: 1.2e-6 }),
      theta: measured(-0.1, "K", { u: 0.41 }),
    };
    const result = propagateSecondOrder(
      (x) => x.standard + x.difference - x.standard * (x.deltaAlpha * x.theta + x.alpha * x.deltaTheta),
      inputs,
      "nm",
    );
    const [first, second] = result.terms;
    expect([...first.sources].sort()).toEqual(["deltaAlpha", "theta"]);
    expect([...second.sources].sort()).toEqual(["alpha", "deltaTheta"]);
    expectPublished(endGauge, "second_order_terms", [Math.sqrt(first.variance), Math.sqrt(second.variance)]);
    expectPublished(endGauge, "u_c", result.firstOrder.u);
    expectPublished(endGauge, "u_c_second", result.u);
  });

  const resistance = use("gum_h2_resistance_reactance");
  test(resistance.title, () => {
    const { V, I_A: I, phi_rad: phi } = resistance.inputs;
    const read = fromSimultaneousReadings({ V, I, phi }, { V: "V", I: "A", phi: "rad" });
    const R = propagate((x) => (x.V / x.I) * Math.cos(x.phi), read, "Ω");
    const X = propagate((x) => (x.V / x.I) * Math.sin(x.phi), read, "Ω");
    const Z = propagate((x) => x.V / x.I, read, "Ω");
    expectPublished(resistance, "means", [read.V.value, read.I.value, read.phi.value]);
    expectPublished(resistance, "s_means", [read.V.u, read.I.u, read.phi.u]);
    expectPublished(resistance, "r_VI", correlation(read.V, read.I));
    expectPublished(resistance, "r_Vphi", correlation(read.V, read.phi));
    expectPublished(resistance, "r_Iphi", correlation(read.I, read.phi));
    expectPublished(resistance, "R", R.value);
    expectPublished(resistance, "X", X.value);
    expectPublished(resistance, "Z", Z.value);
    expectPublished(resistance, "u", [R.u, X.u, Z.u]);
    expectPublished(resistance, "r_RX", correlation(R, X));
    expectPublished(resistance, "r_RZ", correlation(R, Z));
    expectPublished(resistance, "r_XZ", correlation(X, Z));
    // One evaluation of five sets: whatever is computed from it has 4 degrees of freedom (GUM H.2, 5 − 1).
    for (const value of [read.V, read.phi, R, X, Z]) expect(value.dof).toBeCloseTo(4, 10);
  });

  const thermometer = use("gum_h3_thermometer_line");
  test(thermometer.title, () => {
    const { t, b, t0, t_eval } = thermometer.inputs;
    const fit = fitPolynomial(
      t.map((x: number) => x - t0),
      b,
      1,
    );
    const { y1, y2 } = fromCovariance(
      { y1: fit.coefficients[0], y2: fit.coefficients[1] },
      { y1: "°C", y2: "1" },
      fit.covariance,
      { source: "line", dof: fit.dof },
    );
    const correction = combineLinear(
      [
        { value: y1, factor: 1 },
        { value: y2, factor: t_eval - t0 },
      ],
      "°C",
    );
    expectPublished(thermometer, "y1", y1.value);
    expectPublished(thermometer, "y2", y2.value);
    expectPublished(thermometer, "s_y1", y1.u);
    expectPublished(thermometer, "s_y2", y2.u);
    expectPublished(thermometer, "r", correlation(y1, y2));
    expectPublished(thermometer, "s", fit.residualStandardDeviation);
    expectPublished(thermometer, "b30", correction.value);
    expectPublished(thermometer, "u_b30", correction.u);
    expect(correction.dof).toBeCloseTo(9, 10);
  });

  const product = use("gum_g4_welch_satterthwaite");
  test(product.title, () => {
    const factors = product.inputs.rel_u_percent.map((percent: number, i: number) =>
      measured(1, "1", { u: percent / 100 }, { dof: product.inputs.df[i] }),
    );
    const result = factors.reduce((a: MeasuredValue, b: MeasuredValue) => times(a, b));
    const { k, high } = result.interval();
    expectPublished(product, "u_rel", 100 * result.u);
    expectPublished(product, "nu_eff", result.dof);
    expectPublished(product, "t95", k);
    expectPublished(product, "U_rel", 100 * (high - result.value));
  });

  const table = use("gum_table_g2");
  test(table.title, () => {
    const [p9545, p99] = table.inputs.p;
    const factors = (level: number) => table.inputs.nu.map((dof: number) => coverageFactor(dof, level));
    expectPublished(table, "t9545", factors(p9545));
    expectPublished(table, "t99", factors(p99));
  });

  const cadmium = use("quam_a1_calibration_standard");
  test(cadmium.title, () => {
    const { m_mg, u_m, P, u_P, V_mL, u_V } = cadmium.inputs;
    const purity = measured(P, "1", { halfWidth: 0.0001, shape: "rectangular" });
    const flask = measured(V_mL, "mL", { halfWidth: 0.1, shape: "triangular" });
    const repeatability = measured(0, "mL", { u: 0.02 });
    const temperature = measured(0, "mL", { halfWidth: 0.084, shape: "rectangular" });
    expectPublished(cadmium, "u_P", purity.u);
    expectPublished(cadmium, "u_V", [flask, repeatability, temperature].reduce(plus).u);
    const c = propagate(
      (x) => (1000 * x.m * x.P) / x.V,
      {
        m: measured(m_mg, "mg", { u: u_m }),
        P: measured(P, "1", { u: u_P }),
        V: measured(V_mL, "mL", { u: u_V }),
      },
      "mg/L",
    );
    expectPublished(cadmium, "c", c.value);
    expectPublished(cadmium, "u_c", c.u);
    // The guide rounds u to 0.9 before doubling it.
    expectPublished(cadmium, "U_k2", 2 * Number(c.u.toFixed(1)));
  });

  const hydroxide = use("quam_a2_naoh_standardisation");
  test(hydroxide.title, () => {
    const { names, x, u } = hydroxide.inputs;
    const inputs = Object.fromEntries(
      names.map((name: string, i: number) => [name, measured(x[i], "1", { u: u[i] })]),
    );
    const model = (v: Record<string, number>) =>
      (1000 * v.repeatability * v.m_KHP_g * v.P_KHP) / (v.M_KHP * v.V_T_mL);
    const c = propagate(model, inputs, "mol/L");
    expectPublished(hydroxide, "c", c.value);
    expectPublished(hydroxide, "u_c", c.u);
    // Molar mass of C8H5O4K: quoted atomic-mass uncertainties as rectangular [guide A2, table; from memory].
    const elements: [count: number, mass: number, halfWidth: number][] = [
      [8, 12.0107, 0.0008],
      [5, 1.00794, 0.00007],
      [4, 15.9994, 0.0003],
      [1, 39.0983, 0.0001],
    ];
    const molarMass = combineLinear(
      elements.map(([factor, mass, halfWidth]) => ({
        value: measured(mass, "g/mol", { halfWidth, shape: "rectangular" }),
        factor,
      })),
      "g/mol",
    );
    expectPublished(hydroxide, "M_KHP", molarMass.value);
    expectPublished(hydroxide, "u_M", molarMass.u);
    // Burette: calibration ±0.03 mL triangular; temperature ±3 K (95 %) on 18.64 mL at 2.1·10⁻⁴ 1/K.
    const volume = plus(
      measured(18.64, "mL", { halfWidth: 0.03, shape: "triangular" }),
      measured(0, "mL", { expanded: 18.64 * 2.1e-4 * 3, k: 1.96 }),
    );
    expectPublished(hydroxide, "u_VT", volume.u);
  });

  const release = use("quam_a5_cadmium_release");
  test(release.title, () => {
    const { names, x, u } = release.inputs;
    const v: MeasuredValue[] = names.map((_: string, i: number) => measured(x[i], "1", { u: u[i] }));
    const [c0, volume, area, acid, time, temperature] = v;
    const r = [acid, time, temperature].reduce(times, over(times(c0, volume), area));
    expectPublished(release, "r", r.value);
    expectPublished(release, "u_r", r.u);
  });

  const sum = use("quam_sum_rule");
  test(sum.title, () => {
    const [p, q, r] = ["p", "q", "r"].map((name) => {
      const [value, u] = sum.inputs[name];
      return measured(value, "mg/L", { u });
    });
    const y = plus(minus(p, q), r);
    expectPublished(sum, "u", y.u);
    // The printed result is 7.61 from the printed inputs, p − q + r.
    expectPublished(sum, "y", y.value);
  });

  const expansion = use("nist_um_expansion");
  test(expansion.title, () => {
    const { L0, L1, T0, T1 } = expansion.inputs;
    const input = ([value, u]: [number, number], unit: string) => measured(value, unit, { u });
    const alpha = propagate(
      (x) => (x.L1 - x.L0) / (x.L0 * (x.T1 - x.T0)),
      { L0: input(L0, "m"), L1: input(L1, "m"), T0: input(T0, "K"), T1: input(T1, "K") },
      "1/K",
    );
    expectPublished(expansion, "alpha", alpha.value);
    expectPublished(expansion, "u", alpha.u);
  });
});

describe("stating inputs", () => {
  const divisors = use("typeB_divisors");
  test(divisors.title, () => {
    const { half_width: halfWidth, trapezoid_top_ratio: topRatio, ctrap_d } = divisors.inputs;
    for (const shape of ["rectangular", "triangular", "arcsine"] as const) {
      expectPublished(divisors, shape, measured(0, "1", { halfWidth, shape }).u);
    }
    const trapezoid = measured(0, "1", { halfWidth, shape: "trapezoidal", topRatio });
    expectPublished(divisors, "trapezoid", trapezoid.u);
    const curved = measured(0, "1", {
      halfWidth,
      shape: "curvilinear-trapezoid",
      halfWidthTolerance: ctrap_d,
    });
    expectPublished(divisors, "ctrap", curved.u);
  });

  test("readings: mean, s/√n, n − 1 [GUM 4.4.3, table 1: 20 temperatures, mean 100.145, s 1.489, u 0.333; from memory]", () => {
    const readings = [
      96.9, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95,
      101.11, 101.2, 101.57, 101.84, 102.36, 102.72,
    ];
    const t = fromReadings(readings, "°C");
    expect(t.value).toBeCloseTo(100.145, 3);
    expect(t.u).toBeCloseTo(0.333, 3);
    expect(t.dof).toBe(19);
  });
});

const nordtest = use("nordtest_ammonium");
test(nordtest.title, () => {
  const { u_Rw_pct, bias_pct, sR_pct, n_labs } = nordtest.inputs;
  const result = topDownUncertainty({
    withinLaboratory: u_Rw_pct,
    biases: bias_pct,
    referenceUncertainties: sR_pct.map((s: number, i: number) => s / Math.sqrt(n_labs[i])),
  });
  expectPublished(nordtest, "rms_bias", result.rootMeanSquareBias);
  expectPublished(nordtest, "u_cref", result.referenceUncertainty);
  expectPublished(nordtest, "u_bias", result.biasUncertainty);
  expectPublished(nordtest, "u_c", result.u);
  expectPublished(nordtest, "U", result.expanded);
});

test("every published case on uncertainty is used here or in the tests of Monte Carlo and of expression", () => {
  const elsewhere = [
    "jcgm101_additive_normal",
    "jcgm101_additive_rectangular",
    "jcgm101_mass_calibration",
    "jcgm101_comparison_loss_uncorrelated",
    "gum_rounding_and_concise_form",
  ];
  expect([...used, ...elsewhere].sort()).toEqual([...publishedIds].sort());
});
