import { asRecord, asText } from '../../core/document/decode.ts';
import { announced } from './running.ts';

/**
 * Asks the server that has a data folder.
 * @returns null when no server is running there
 * @throws Error with the server's own sentence when it refuses
 */
export async function askServer(data: string, path: string): Promise<Response | null> {
  const running = announced(data);
  if (running === null) return null;
  let response: Response;
  try {
    response = await fetch(running.url + path, {
      method: 'POST',
      headers: { authorization: `Bearer ${running.token}` },
    });
  } catch {
    // It ended without taking its word back, and nobody or somebody else has the port.
    return null;
  }
  if (response.status === 401) return null;
  if (response.ok) return response;
  const said = asText(asRecord(await response.json().catch(() => null))?.error);
  throw new Error(said ?? `the server answered ${response.status}`);
}
