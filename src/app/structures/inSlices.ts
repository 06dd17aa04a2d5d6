/** Runs it to its end, a frame's share at a time, so that the page stays quick. */
export async function finishInSlices<Result>(steps: Generator<unknown, Result>): Promise<Result> {
  for (;;) {
    const until = performance.now() + 12;
    do {
      const step = steps.next();
      if (step.done) return step.value;
    } while (performance.now() < until);
    await new Promise((resume) => setTimeout(resume, 0));
  }
}
