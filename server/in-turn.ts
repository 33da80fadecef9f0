/** Takes deeds one at a time, in the order in which they come; one that fails keeps none of the others. */
export function inTurn(): <T>(deed: () => Promise<T>) => Promise<T> {
  let last: Promise<unknown> = Promise.resolve();
  return (deed) => {
    const done = last.then(deed);
    last = done.catch(() => undefined);
    return done;
  };
}
