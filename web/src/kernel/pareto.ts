/**
 * How far draws that were weighed anew may be trusted: Pareto-smoothed importance weights, as the
 * office's `diagnosis/pareto.py`, where the sources stand.
 */
export const TRUSTED = 0.7;
/** Fewer effective draws than this are not trusted either. */
export const EFFECTIVE = 400;

const mean = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length;

/** Shape and scale of a generalised Pareto distribution of ascending exceedances. */
export const fit = (tail: readonly number[]): [number, number] => {
  const n = tail.length;
  const grid = 30 + Math.floor(Math.sqrt(n));
  const quarter = tail[Math.floor(n / 4 + 0.5) - 1]!;
  const theta = Array.from({ length: grid }, (_, k) => 1 / tail[n - 1]! + (1 - Math.sqrt(grid / (k + 0.5))) / (3 * quarter));
  const shapeAt = (at: number): number => mean(tail.map((each) => Math.log1p(-at * each)));
  const logs = theta.map((at) => {
    const shape = shapeAt(at);
    return n * (Math.log(-at / shape) - shape - 1);
  });
  const top = Math.max(...logs);
  const weight = logs.map((each) => Math.exp(each - top));
  const best = theta.reduce((sum, at, k) => sum + at * weight[k]!, 0) / weight.reduce((sum, each) => sum + each, 0);
  const k = shapeAt(best);
  return [(n * k + 10 * 0.5) / (n + 10), -k / best];
};

/** How many evenly weighted draws the weights are worth. */
export const effective = (logs: Float64Array): number => {
  const top = greatest(logs);
  let [sum, squares] = [0, 0];
  for (const each of logs) {
    const weight = Math.exp(each - top);
    sum += weight;
    squares += weight * weight;
  }
  return (sum * sum) / squares;
};

export const greatest = (values: Float64Array): number => values.reduce((top, one) => Math.max(top, one), -Infinity);

/** Smoothed log ratios, up to a constant, and the shape of their tail. */
export const smooth = (ratios: Float64Array): [Float64Array, number] => {
  const top = greatest(ratios);
  const logs = ratios.map((each) => each - top);
  const size = Math.floor(Math.min(0.2 * logs.length, 3 * Math.sqrt(logs.length)));
  if (size < 5 || -logs.reduce((low, one) => Math.min(low, one), 0) < 1e-9) return [logs, 0];
  const order = Array.from(logs.keys()).sort((a, b) => logs[a]! - logs[b]! || a - b);
  const tail = order.slice(-size);
  const cut = logs[order.at(-size - 1)!]!;
  const exceed = tail.map((n) => Math.exp(logs[n]!) - Math.exp(cut));
  if (exceed[0]! <= 0 || exceed.at(-1)! - exceed[0]! < 1e-12) return [logs, effective(logs) >= 100 ? 0 : Infinity];
  const [k, scale] = fit(exceed);
  if (!Number.isFinite(k)) return [logs, Infinity];
  tail.forEach((n, place) => {
    const rest = Math.log1p(-(place + 0.5) / size);
    const quantile = Math.abs(k) < 1e-9 ? -scale * rest : (scale / k) * Math.expm1(-k * rest);
    logs[n] = Math.min(Math.log(Math.exp(cut) + quantile), 0);
  });
  return [logs, k];
};
