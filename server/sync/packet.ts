/** FIN and the opcode of a binary message: RFC 6455, section 5.2. */
const WHOLE_BINARY = 0x82;

/** A frame as it goes over a server's socket: unmasked and whole, with its head before it (RFC 6455, section 5.2). */
export function packetOf(frame: Uint8Array): Buffer {
  const size = frame.byteLength;
  const head = size < 126 ? 2 : size < 65536 ? 4 : 10;
  const packet = Buffer.allocUnsafe(head + size);
  packet[0] = WHOLE_BINARY;
  if (head === 2) packet[1] = size;
  else if (head === 4) {
    packet[1] = 126;
    packet.writeUInt16BE(size, 2);
  } else {
    packet[1] = 127;
    packet.writeBigUInt64BE(BigInt(size), 2);
  }
  packet.set(frame, head);
  return packet;
}

/** Makes the packet of a frame once, though it goes to many one after the other. */
export class Packets {
  #frame: Uint8Array | null = null;
  #packet: Buffer = Buffer.alloc(0);

  of(frame: Uint8Array): Buffer {
    if (frame !== this.#frame) {
      this.#packet = packetOf(frame);
      this.#frame = frame;
    }
    return this.#packet;
  }
}
