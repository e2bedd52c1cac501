/** ZIP (APPNOTE 6.3): written stored, read stored or deflated; no archives beyond 4 GiB. */

export class ZipError extends Error {
  constructor(readonly why: "none" | "damaged" | "large") {
    super(why);
  }
}

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let value = n;
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  return value >>> 0;
});
/** CRC-32 as ZIP asks for it. */
export const crc32 = (bytes: Uint8Array): number => {
  let value = 0xffffffff;
  for (const byte of bytes) value = (value >>> 8) ^ TABLE[(value ^ byte) & 255]!;
  return (value ^ 0xffffffff) >>> 0;
};

export interface Member {
  readonly name: string;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

/** An archive of members as they are, none packed. */
export const zipped = (members: readonly Member[]): Blob => {
  const parts: BlobPart[] = [];
  const listed: Uint8Array<ArrayBuffer>[] = [];
  let at = 0;
  for (const { name, bytes } of members) {
    const title = new TextEncoder().encode(name);
    const about = [20, 0, 0, 0, 0x21, crc32(bytes), bytes.length, bytes.length, title.length, 0] as const;
    const local = header(0x04034b50, about, title);
    listed.push(header(0x02014b50, about, title, at));
    parts.push(local, bytes);
    at += local.length + bytes.length;
  }
  const size = listed.reduce((sum, one) => sum + one.length, 0);
  if (at + size >= 0xffffffff || members.length >= 0xffff) throw new ZipError("large");
  const end = new DataView(new ArrayBuffer(22));
  end.setUint32(0, 0x06054b50, true);
  end.setUint16(8, members.length, true);
  end.setUint16(10, members.length, true);
  end.setUint32(12, size, true);
  end.setUint32(16, at, true);
  return new Blob([...parts, ...listed, end.buffer], { type: "application/zip" });
};

/** A local header, or with an offset its line in the list at the end. */
const header = (
  mark: number, about: readonly [number, number, number, number, number, number, number, number, number, number],
  title: Uint8Array, offset?: number,
): Uint8Array<ArrayBuffer> => {
  const list = offset !== undefined;
  const bytes = new Uint8Array((list ? 46 : 30) + title.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, mark, true);
  let at = 4;
  if (list) view.setUint16((at += 2) - 2, 20, true);
  const [needs, flags, method, time, day, crc, packed, size, name, extra] = about;
  for (const one of [needs, flags, method, time, day]) view.setUint16((at += 2) - 2, one, true);
  for (const one of [crc, packed, size]) view.setUint32((at += 4) - 4, one, true);
  for (const one of [name, extra]) view.setUint16((at += 2) - 2, one, true);
  if (list) view.setUint32(42, offset, true);
  bytes.set(title, bytes.length - title.length);
  return bytes;
};

export interface Listed {
  readonly name: string;
  readonly size: number;
  /** Unpacks it; an error where its bytes are not those that were packed. */
  readonly read: () => Promise<Uint8Array<ArrayBuffer>>;
}

/** The members of an archive by name. */
export const unzipped = async (file: Blob): Promise<Map<string, Listed>> => {
  const tail = file.slice(Math.max(0, file.size - 65_557));
  const view = new DataView(await tail.arrayBuffer());
  let end = view.byteLength - 22;
  while (end >= 0 && view.getUint32(end, true) !== 0x06054b50) end -= 1;
  if (end < 0) throw new ZipError("none");
  const [count, size, start] = [view.getUint16(end + 10, true), view.getUint32(end + 12, true), view.getUint32(end + 16, true)];
  if (count === 0xffff || start === 0xffffffff) throw new ZipError("large");
  if (start + size > file.size) throw new ZipError("damaged");
  const list = new DataView(await file.slice(start, start + size).arrayBuffer());
  const found = new Map<string, Listed>();
  try {
    for (let at = 0, n = 0; n < count; n++) {
      if (list.getUint32(at, true) !== 0x02014b50) throw new ZipError("damaged");
      const [method, crc] = [list.getUint16(at + 10, true), list.getUint32(at + 16, true)];
      const [packed, whole] = [list.getUint32(at + 20, true), list.getUint32(at + 24, true)];
      const [title, extra, note] = [28, 30, 32].map((place) => list.getUint16(at + place, true)) as [number, number, number];
      const offset = list.getUint32(at + 42, true);
      if ([packed, whole, offset].includes(0xffffffff)) throw new ZipError("large");
      const name = new TextDecoder().decode(new Uint8Array(list.buffer, at + 46, title));
      found.set(name, { name, size: whole, read: () => member(file, offset, packed, method, crc, whole) });
      at += 46 + title + extra + note;
    }
  } catch (error) {
    throw error instanceof ZipError ? error : new ZipError("damaged");
  }
  return found;
};

const member = async (
  file: Blob, offset: number, packed: number, method: number, crc: number, size: number,
): Promise<Uint8Array<ArrayBuffer>> => {
  const head = new DataView(await file.slice(offset, offset + 30).arrayBuffer());
  if (head.byteLength < 30 || head.getUint32(0, true) !== 0x04034b50) throw new ZipError("damaged");
  const start = offset + 30 + head.getUint16(26, true) + head.getUint16(28, true);
  const body = file.slice(start, start + packed);
  let bytes: Uint8Array<ArrayBuffer>;
  try {
    if (method !== 0 && method !== 8) throw new ZipError("none");
    bytes = method === 0 ? new Uint8Array(await body.arrayBuffer()) : await inflated(body, size);
  } catch (error) {
    throw error instanceof ZipError ? error : new ZipError("damaged");
  }
  if (bytes.length !== size || crc32(bytes) !== crc) throw new ZipError("damaged");
  return bytes;
};

/** Unpacks no more than was listed: a small file may not fill the device. */
const inflated = async (body: Blob, size: number): Promise<Uint8Array<ArrayBuffer>> => {
  const reader = body.stream().pipeThrough(new DecompressionStream("deflate-raw")).getReader();
  const bytes = new Uint8Array(size);
  let at = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return at === size ? bytes : bytes.slice(0, at);
    if (at + value.length > size) throw new ZipError("damaged");
    bytes.set(value, at);
    at += value.length;
  }
};
