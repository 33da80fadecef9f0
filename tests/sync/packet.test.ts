import { PassThrough, type Writable } from 'node:stream';
import { expect, it } from 'vitest';
import * as ws from 'ws';
import { Packets, packetOf } from '../../server/sync/packet.ts';

/** The library exports it, its types do not name it. */
const { Receiver } = ws as unknown as {
  readonly Receiver: new (options: { isServer: boolean }) => Writable;
};

/** What the receiver of `ws`, as a client has it, reads from bytes. */
function read(bytes: Uint8Array): Promise<{ data: Buffer; isBinary: boolean }> {
  return new Promise((resolve, reject) => {
    const receiver = new Receiver({ isServer: false });
    receiver.on('message', (data: Buffer, isBinary: boolean) => resolve({ data, isBinary }));
    receiver.on('error', reject);
    new PassThrough().end(bytes).pipe(receiver);
  });
}

// The lengths at which RFC 6455 goes over to a longer head.
it.each([0, 1, 125, 126, 65_535, 65_536, 200_000])(
  'a packet of %i bytes is one binary message to another reader',
  async (size) => {
    const frame = Uint8Array.from({ length: size }, (_, index) => index % 251);
    const { data, isBinary } = await read(packetOf(frame));
    expect(isBinary).toBe(true);
    expect(Buffer.compare(data, frame)).toBe(0);
  },
);

it('a frame that goes to many is made into a packet once', () => {
  const packets = new Packets();
  const frame = Uint8Array.of(1, 2);
  expect(packets.of(frame)).toBe(packets.of(frame));
  expect(packets.of(Uint8Array.of(3))).toEqual(Buffer.of(0x82, 1, 3));
});
