// Solves farms.json as plain linear and mixed-integer programs and writes
// optima.csv. The model is written out here from the description of the problem
// and shares nothing with the package. To redo it, in an empty folder:
//
//	npm install highs@1.15.3
//	cp .../testdata/{solve.mjs,farms.json} . && node solve.mjs
//
// The model, with x of a material i on a field k in a season t, in m3 or t:
//
//	stock      sum of x over k and t + left(i) = stock(i)
//	limit      sum of content * x over the ways that count <= room * area,
//	           or sum of x <= rate * area
//	credit     credit(n) <= price * what is brought, credit(n) <= price * need * area
//	loads      x = load * n + s, n an integer, s <= load, s above 0 on one way a material
//
// First the sum of what is left of the materials without a price for leaving is
// made least, then cost + price of leaving - credit with no more left than that.
import { readFileSync, writeFileSync } from "node:fs";
import loadHighs from "highs";

const highs = await loadHighs();
const farms = JSON.parse(readFileSync("farms.json", "utf8"));
const mile = 1609.344;
const si = (text) => (text === undefined ? 0 : parseFloat(text));

// ways lists what may go where, with its price and what a unit holds.
function ways(farm) {
  const list = [];
  farm.materials.forEach((m, i) => {
    const unit = m.stock.endsWith(" kg") ? 1000 : 1;
    farm.fields.forEach((f, k) => farm.seasons.forEach((season, t) => {
      if (m.seasons && !m.seasons.includes(season)) return;
      const holds = new Map(m.holds.map((h) => [h.of, h]));
      let spread = m.spread;
      for (const e of farm.exceptions ?? []) {
        if ((e.material ?? m.name) !== m.name || (e.field ?? f.name) !== f.name || (e.season ?? season) !== season) continue;
        if (e.forbid) return;
        for (const h of e.holds ?? []) holds.set(h.of, h);
        spread = e.spread ?? spread;
      }
      const miles = si((f.distances ?? {})[m.name] ?? f.distance) / mile;
      // brings returns kg in a season, or in all of them.
      const brings = (of, when) => {
        const h = holds.get(of);
        if (!h) return 0;
        let sum = 0;
        [h.content, ...(h.later ?? [])].forEach((c, lag) => {
          const s = t + lag;
          if (when === undefined ? s < farm.seasons.length : farm.seasons[s] === when) sum += si(c) * unit;
        });
        return sum;
      };
      list.push({ i, k, t, unit, season, name: `_${i}_${k}_${t}`, price: (si(spread) + si(m.haulPerMile) * miles) * unit, brings });
    }));
  });
  return list;
}

const sum = (terms) => terms.filter(([a]) => a !== 0).map(([a, v]) => `${a < 0 ? "-" : "+"} ${Math.abs(a)} ${v}`).join(" ") || "0 none";

// program writes the model in the LP format; most bounds the sum of what is left.
function program(farm, whole, most) {
  const list = ways(farm), rows = [], bounds = ["none = 0"], ints = [], bins = [], cost = [], left = [];
  farm.materials.forEach((m, i) => {
    const unit = m.stock.endsWith(" kg") ? 1000 : 1, own = list.filter((w) => w.i === i);
    rows.push(`${sum([...own.map((w) => [1, "x" + w.name]), [1, `left${i}`]])} = ${si(m.stock) / unit}`);
    if (m.leavePrice) cost.push([si(m.leavePrice) * unit, `left${i}`]);
    else left.push([1, `left${i}`]);
    if (whole && m.load) {
      const load = si(m.load) / unit;
      for (const w of own) {
        rows.push(`x${w.name} - ${load} n${w.name} - s${w.name} = 0`, `s${w.name} - ${load} b${w.name} <= 0`);
        ints.push("n" + w.name);
        bins.push("b" + w.name);
      }
      rows.push(`${sum(own.map((w) => [1, "b" + w.name]))} <= 1`);
    }
  });
  for (const w of list) cost.push([w.price, "x" + w.name]);
  farm.fields.forEach((f, k) => {
    const area = si(f.area), here = list.filter((w) => w.k === k);
    for (const l of f.limits) {
      if (l.of) rows.push(`${sum(here.map((w) => [w.brings(l.of, l.season), "x" + w.name]))} <= ${si(l.room) * area}`);
      else {
        const solid = l.rate.endsWith(" kg/m2");
        const counts = here.filter((w) => (w.unit === 1000) === solid && (!l.material || farm.materials[w.i].name === l.material) && (!l.season || w.season === l.season));
        rows.push(`${sum(counts.map((w) => [w.unit, "x" + w.name]))} <= ${si(l.rate) * area}`);
      }
    }
    (f.needs ?? []).forEach((n, j) => {
      const price = si((farm.prices ?? []).find((p) => p.of === n.of)?.price);
      cost.push([-1, `c${k}_${j}`]);
      rows.push(`c${k}_${j} ${sum(here.map((w) => [-price * w.brings(n.of, n.season), "x" + w.name]))} <= 0`);
      bounds.push(`0 <= c${k}_${j} <= ${price * si(n.need) * area}`);
    });
  });
  if (most !== undefined && left.length) rows.push(`${sum(left)} <= ${most}`);
  return ["Minimize", "obj: " + sum(most === undefined ? left : cost), "Subject To", ...rows, "Bounds", ...bounds,
    ...(ints.length ? ["General", ...ints, "Binary", ...bins] : []), "End"].join("\n");
}

function best(farm, whole) {
  const options = { mip_rel_gap: 1e-3, mip_abs_gap: 1e-6, time_limit: 120, primal_feasibility_tolerance: 1e-9, dual_feasibility_tolerance: 1e-9, mip_feasibility_tolerance: 1e-9 };
  const solve = (text) => {
    const r = highs.solve(text, options);
    if (r.Status !== "Optimal") throw new Error(`${farm.name}: ${r.Status}`);
    return r.ObjectiveValue;
  };
  const left = Math.max(0, solve(program(farm, whole)));
  return [left, solve(program(farm, whole, left + 1e-7))];
}

const lines = ["farm,left,net,left in whole loads,net in whole loads"];
for (const farm of farms) {
  const row = [farm.name, ...best(farm, false), ...best(farm, true)].map((v) => (typeof v === "number" ? String(Math.round(v * 1e6) / 1e6) : v));
  lines.push(row.join(","));
  console.log(row.join(" "));
}
writeFileSync("optima.csv", lines.join("\n") + "\n");
