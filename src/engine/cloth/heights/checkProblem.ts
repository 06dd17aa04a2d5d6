import type { HeightsProblem } from './heightsTypes.ts';

function fail(where: string, what: string): never {
  throw new RangeError(`Heights: ${where} ${what}`);
}

function checkLength(values: ArrayLike<number>, length: number, name: string): void {
  if (values.length !== length) fail(name, `has ${values.length} values; give ${length}, one for each thread.`);
}

/** Throws a RangeError that names the thread and the remedy where a problem cannot be solved. */
export function checkProblem(problem: HeightsProblem): void {
  const { rows, ends, drawdown, rowFirst, rowLast, endXMm, rowYMm } = problem;
  if (rows < 1 || ends < 1) fail('the region', 'has no crossing; give at least one row and one end.');
  if (drawdown.rows !== rows || drawdown.ends !== ends)
    fail('the drawdown', `is ${drawdown.rows} × ${drawdown.ends}; give ${rows} rows × ${ends} ends.`);
  checkLength(endXMm, ends, 'endXMm');
  checkLength(rowYMm, rows, 'rowYMm');
  checkLength(rowFirst, rows, 'rowFirst');
  checkLength(rowLast, rows, 'rowLast');
  const perEnd = { endBendingNmm2: problem.endBendingNmm2, endHalfHeightMm: problem.endHalfHeightMm };
  const perRow = { rowBendingNmm2: problem.rowBendingNmm2, rowHalfHeightMm: problem.rowHalfHeightMm };
  for (const [fields, count, thread] of [
    [perEnd, ends, 'end'],
    [perRow, rows, 'row'],
  ] as const)
    for (const [name, values] of Object.entries(fields)) {
      checkLength(values, count, name);
      const bad = values.findIndex((v) => !(v > 0 && v < Infinity));
      if (bad >= 0) fail(`${name} of ${thread} ${bad}`, `is ${values[bad]}; give a number above 0.`);
    }
  for (const [name, values, count, thread] of [
    ['endTensionN', problem.endTensionN, ends, 'end'],
    ['rowTensionN', problem.rowTensionN, rows, 'row'],
  ] as const) {
    checkLength(values, count, name);
    const bad = values.findIndex((v) => !(v >= 0 && v < Infinity));
    if (bad >= 0) fail(`${name} of ${thread} ${bad}`, `is ${values[bad]}; give 0 or more (a thread only pulls).`);
  }
  for (let i = 1; i < ends; i++)
    if (!(endXMm[i] > endXMm[i - 1])) fail(`endXMm of end ${i}`, 'is not to the right of the end before it.');
  for (let j = 1; j < rows; j++)
    if (!(rowYMm[j] >= rowYMm[j - 1])) fail(`rowYMm of row ${j}`, 'is below the row before it; order rows as woven.');
  for (let j = 0; j < rows; j++)
    if (!(rowFirst[j] <= rowLast[j] && rowLast[j] < ends))
      fail(`row ${j}`, `passes ends ${rowFirst[j]} to ${rowLast[j]}; both must lie within 0 to ${ends - 1}, in order.`);
  if (problem.boundary === 'periodic') {
    if (!((problem.periodXMm ?? 0) > endXMm[ends - 1] - endXMm[0]))
      fail('periodXMm', 'must exceed the distance from the first end to the last.');
    if (!((problem.periodYMm ?? 0) > rowYMm[rows - 1] - rowYMm[0]))
      fail('periodYMm', 'must exceed the distance from the first row to the last.');
  }
}
