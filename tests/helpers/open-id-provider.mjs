// Plain JavaScript: the provider's package has no types of its own.
import { generateKeyPairSync, randomBytes } from 'node:crypto';
import { createServer } from 'node:http';

// It warns on every start that it is not set up for real people, which it is not.
for (const level of ['warn', 'info']) {
  const print = console[level];
  console[level] = (...words) => {
    if (!String(words[0]).includes('oidc-provider')) print(...words);
  };
}
const { default: Provider } = await import('oidc-provider');

export async function startProvider({ clientId, clientSecret, redirectUri }) {
  const server = createServer();
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  const issuer = `http://127.0.0.1:${server.address().port}`;
  const { privateKey } = generateKeyPairSync('rsa', { modulusLength: 2048 });
  const provider = new Provider(issuer, {
    clients: [{ client_id: clientId, client_secret: clientSecret, redirect_uris: [redirectUri] }],
    jwks: { keys: [{ ...privateKey.export({ format: 'jwk' }), use: 'sig', alg: 'RS256' }] },
    cookies: { keys: [randomBytes(32).toString('hex')] },
    claims: { openid: ['sub'], profile: ['name'] },
    // The name goes into the ID token, as many providers do it.
    conformIdTokenClaims: false,
    findAccount: (_context, id) => ({ accountId: id, claims: () => ({ sub: id, name: id }) }),
    pkce: { required: () => true },
    features: { devInteractions: { enabled: true } },
  });
  server.on('request', provider.callback());
  return {
    issuer,
    close: async () => {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
