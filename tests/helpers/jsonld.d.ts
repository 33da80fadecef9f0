/** jsonld brings no types of its own; what the tests use of it. */
declare module 'jsonld' {
  interface Options {
    readonly documentLoader: (url: string) => Promise<{ documentUrl: string; document: object }>;
    readonly safe: boolean;
  }
  const jsonld: {
    flatten(input: object, context: null, options: Options): Promise<Record<string, unknown>[]>;
  };
  export default jsonld;
}
