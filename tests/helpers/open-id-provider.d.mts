/** A real OpenID Connect provider on a free port of this machine, for tests. */
export interface StartedProvider {
  readonly issuer: string;
  close(): Promise<void>;
}

export interface ProviderClient {
  readonly clientId: string;
  readonly clientSecret: string;
  readonly redirectUri: string;
}

/** People sign in with any name; that name is their subject and `name` claim. */
export function startProvider(client: ProviderClient): Promise<StartedProvider>;
