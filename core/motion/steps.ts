/** Takes all steps of a piece of work at once and gives its result. */
export function finish<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** Takes the steps of a part of a piece of work, with `told` in the place of what each of them yields. */
export function* telling<Told, T>(steps: Generator<unknown, T>, told: Told): Generator<Told, T> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield told;
  }
}
