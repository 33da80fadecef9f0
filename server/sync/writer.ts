/** Origin of what the server writes for a person who asked by HTTP: it is theirs, not the server's. */
export class Writer {
  constructor(readonly person: string) {}
}
