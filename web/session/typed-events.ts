/** Listeners by event name, with typed details and no DOM event objects. */
export class TypedEvents<Events> {
  readonly #listeners = new Map<keyof Events, Set<(detail: never) => void>>();

  /** Listens; gives the function that stops it. */
  on<K extends keyof Events>(type: K, listener: (detail: Events[K]) => void): () => void {
    const set = this.#listeners.get(type) ?? new Set();
    set.add(listener as (detail: never) => void);
    this.#listeners.set(type, set);
    return () => set.delete(listener as (detail: never) => void);
  }

  emit<K extends keyof Events>(type: K, detail: Events[K]): void {
    for (const listener of [...(this.#listeners.get(type) ?? [])]) {
      (listener as (detail: Events[K]) => void)(detail);
    }
  }

  clear(): void {
    this.#listeners.clear();
  }
}
