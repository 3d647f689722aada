import { describe, expect, it } from 'vitest';
import { createRandom, splitSeed, xoshiro128 } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';

describe('xoshiro128', () => {
  it('gives the reference words of the state 1, 2, 3, 4', () => {
    // Output of the authors' C code, version 1.1, as printed in the tests of the Rust crate rand_xoshiro.
    const next = xoshiro128(1, 2, 3, 4);
    const words = Array.from({ length: 10 }, () => next());
    expect(words).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]);
  });
});

describe('createRandom', () => {
  it('repeats itself for a seed and differs between seeds, high words too', () => {
    const draw = (seed: number): number[] => {
      const random = createRandom(seed);
      return [random.uniform(), random.normal(), random.integer(10)];
    };
    expect(draw(7)).toEqual(draw(7));
    const firsts = new Set([0, 1, 2, 7, 4294967296, 4294967297, Number.MAX_SAFE_INTEGER].map((seed) => draw(seed)[0]));
    expect(firsts.size).toBe(7);
  });

  it('is frozen in time: a seed means these numbers for good', () => {
    const random = createRandom(20240501);
    expect([random.uniform(), random.uniform(), random.normal(), random.integer(1000)]).toEqual([
      0.8306528766898523, 0.9297847755980103, 0.34418918302524, 946,
    ]);
  });

  it('is uniform on the open interval: moments, deciles and neighbours', () => {
    const random = createRandom(11);
    const n = 200_000;
    const counts = new Int32Array(10);
    let sum = 0;
    let square = 0;
    let product = 0;
    let before = 0.5;
    for (let i = 0; i < n; i++) {
      const u = random.uniform();
      if (!(u > 0 && u < 1)) throw new Error(`uniform left (0, 1): ${u}`);
      counts[Math.floor(u * 10)]++;
      sum += u;
      square += u * u;
      product += (u - 0.5) * (before - 0.5);
      before = u;
    }
    // Four standard errors each: sd of u 1/√12, of u² √(4/45), of a product of two 1/12.
    expectClose(sum / n, 0.5, { abs: 4 / Math.sqrt(12 * n), why: 'mean, 4 standard errors' });
    expectClose(square / n, 1 / 3, { abs: 4 * Math.sqrt(4 / 45 / n), why: 'second moment, 4 standard errors' });
    expectClose(product / n, 0, { abs: 4 / 12 / Math.sqrt(n), why: 'neighbours uncorrelated, 4 standard errors' });
    let chi2 = 0;
    for (const count of counts) chi2 += (count - n / 10) ** 2 / (n / 10);
    // 99.9 % point of χ² with 9 degrees of freedom, from memory.
    expect(chi2).toBeLessThan(27.88);
  });

  it('draws standard normals', () => {
    const random = createRandom(3);
    const n = 200_000;
    let m1 = 0;
    let m2 = 0;
    let m4 = 0;
    for (let i = 0; i < n; i++) {
      const z = random.normal();
      m1 += z / n;
      m2 += (z * z) / n;
      m4 += z ** 4 / n;
    }
    expectClose(m1, 0, { abs: 4 / Math.sqrt(n), why: 'mean, 4 standard errors' });
    expectClose(m2, 1, { abs: 4 * Math.sqrt(2 / n), why: 'variance, 4 standard errors' });
    expectClose(m4, 3, { abs: 4 * Math.sqrt(96 / n), why: 'fourth moment, 4 standard errors' });
  });

  it('draws whole numbers evenly, also where 2^32 is no multiple', () => {
    const random = createRandom(5);
    const n = 90_000;
    const counts = new Int32Array(3);
    // 3·2^30: plain remainders would make the first third twice as likely.
    for (let i = 0; i < n; i++) counts[Math.floor(random.integer(3 * 2 ** 30) / 2 ** 30)]++;
    for (const count of counts)
      expectClose(count, n / 3, { abs: 4 * Math.sqrt((n * 2) / 9), why: '4 standard errors' });
    expect(random.integer(1)).toBe(0);
    expect(random.integer(4294967296)).toBeLessThan(4294967296);
  });

  it('refuses seeds and ranges it cannot honour', () => {
    expect(() => createRandom(-1)).toThrow('createRandom: seed must be a whole number from 0 to 2^53 - 1, got -1');
    expect(() => createRandom(1.5)).toThrow('createRandom: seed must be a whole number from 0 to 2^53 - 1, got 1.5');
    expect(() => splitSeed(NaN, 'x')).toThrow('splitSeed: seed must be a whole number from 0 to 2^53 - 1, got NaN');
    expect(() => createRandom(1).integer(0)).toThrow('integer: n must be a whole number from 1 to 2^32, got 0');
    expect(() => createRandom(1).integer(2 ** 33)).toThrow('integer: n must be a whole number from 1 to 2^32');
  });
});

describe('splitSeed', () => {
  it('depends on seed and label, and gives a seed', () => {
    const seeds = new Set<number>();
    for (let seed = 0; seed < 300; seed++)
      for (const label of ['', 'a', 'b', 'ab', 'ba', 'é']) seeds.add(splitSeed(seed, label));
    expect(seeds.size).toBe(1800);
    for (const seed of seeds) expect(Number.isInteger(seed) && seed >= 0 && seed < 4294967296).toBe(true);
    expect(splitSeed(5, 'bootstrap')).toBe(splitSeed(5, 'bootstrap'));
    expect(splitSeed(5, 'a')).not.toBe(splitSeed(5 + 4294967296, 'a'));
  });

  it('makes streams that have nothing to do with each other', () => {
    const a = createRandom(splitSeed(1, 'a'));
    const b = createRandom(splitSeed(1, 'b'));
    const n = 50_000;
    let product = 0;
    for (let i = 0; i < n; i++) product += (a.normal() * b.normal()) / n;
    expectClose(product, 0, { abs: 4 / Math.sqrt(n), why: 'correlation, 4 standard errors' });
  });
});
