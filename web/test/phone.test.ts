/** Workers that only note what they are asked; what each of them says is said by hand. */
import { expect, test, vi } from "vitest";
import { Phone, type Hand } from "../src/kernel/phone";
import type { Told } from "../src/kernel/worker";

const made = () => {
  const hands: (Hand & { asked: unknown[] })[] = [];
  const heard = { atOnce: vi.fn(), share: vi.fn(), inFull: vi.fn(), failed: vi.fn() };
  const spawn = (): Hand => {
    const asked: unknown[] = [];
    const hand = { asked, postMessage: (one: unknown) => void asked.push(one), onmessage: null, onerror: null, terminate: vi.fn() };
    hands.push(hand);
    return hand;
  };
  const phone = new Phone(spawn, 2, heard);
  const says = (n: number, data: unknown): void => hands[n]!.onmessage!({ data } as MessageEvent<Told>);
  return { phone, hands, heard, says };
};

test("a pocket that cannot be read is told, and nobody waits for it", async () => {
  const { phone, heard, says } = made();
  const loaded = phone.load("{");
  says(0, { done: "failed", turn: 0, why: "not JSON" });
  expect(await loaded).toBe(false);
  expect(heard.failed).toHaveBeenCalledWith("not JSON");
});

test("a worker whose script cannot be had is told", async () => {
  const { phone, hands, heard } = made();
  const loaded = phone.load("null");
  hands[0]!.onerror!({ message: "no script" });
  expect(await loaded).toBe(false);
  expect(heard.failed).toHaveBeenCalledWith("no script");
});

test("what an older turn says is not heard, and its workers end", async () => {
  const { phone, hands, heard, says } = made();
  const loaded = phone.load("{}");
  says(0, { done: "pocket", carried: true, populations: 1, module: "m", answer: "a" });
  expect(await loaded).toBe(true);
  await phone.changed({});
  const { turn } = hands[0]!.asked.at(-1) as { turn: number };
  says(0, { done: "weigh", turn, numbers: {}, inputs: [new Uint8Array(1)] });
  expect(heard.atOnce).toHaveBeenCalledTimes(1);
  expect(hands[1]!.asked).toHaveLength(1);
  await phone.changed({});
  expect(hands[1]!.terminate).toHaveBeenCalled();
  says(1, { done: "draw", turn, one: 0, drawn: { number: 0 } });
  says(0, { done: "failed", turn, why: "late" });
  expect(heard.share).not.toHaveBeenCalled();
  expect(heard.failed).not.toHaveBeenCalled();
});
