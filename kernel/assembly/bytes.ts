/** Reading the input byte string from front to back. */
let cursor: usize = 0;

/** Where the next array begins. */
export function readFrom(pointer: usize): void {
  cursor = pointer;
}

export function takeF64(count: i32): StaticArray<f64> {
  const array = new StaticArray<f64>(count);
  memory.copy(changetype<usize>(array), cursor, <usize>count << 3);
  cursor += <usize>count << 3;
  return array;
}

export function takeI32(count: i32): StaticArray<i32> {
  const array = new StaticArray<i32>(count);
  memory.copy(changetype<usize>(array), cursor, <usize>count << 2);
  cursor += <usize>count << 2;
  return array;
}

export function takeU8(count: i32): StaticArray<u8> {
  const array = new StaticArray<u8>(count);
  memory.copy(changetype<usize>(array), cursor, <usize>count);
  cursor += <usize>count;
  return array;
}
