import { normalQuantile } from './normal.js';

/** A stream of random numbers, the same on every machine for the same seed. */
export interface Random {
  /** Uniform on the open interval (0, 1), 52 bits. */
  uniform(): number;
  /** Standard normal, by the inverse distribution function. */
  normal(): number;
  /** Whole number from 0 to n - 1, without bias; n from 1 to 2³². */
  integer(n: number): number;
}

/** The finaliser of MurmurHash3 (A. Appleby, public domain): a bijection of 32 bits that leaves none of them alone. */
function scramble(word: number): number {
  let z = word | 0;
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
  return (z ^ (z >>> 16)) >>> 0;
}

/** The step of the seeding sequence: 2³² over the golden ratio, made odd. */
const GOLDEN = 0x9e3779b9;

function checkSeed(seed: number, caller: string): void {
  if (!Number.isSafeInteger(seed) || seed < 0)
    throw new RangeError(`${caller}: seed must be a whole number from 0 to 2^53 - 1, got ${seed}`);
}

/**
 * xoshiro128**, D. Blackman & S. Vigna, "Scrambled linear pseudorandom number generators", ACM Trans. Math. Softw. 47 (2021)
 * 36; public domain. Returns the source of its 32-bit words, each from 0 to 2^32 - 1. The state must not be all zero.
 */
export function xoshiro128(s0: number, s1: number, s2: number, s3: number): () => number {
  return () => {
    const by5 = Math.imul(s1, 5);
    const result = Math.imul((by5 << 7) | (by5 >>> 25), 9) >>> 0;
    const t = s1 << 9;
    s2 ^= s0;
    s3 ^= s1;
    s1 ^= s2;
    s0 ^= s3;
    s2 ^= t;
    s3 = (s3 << 11) | (s3 >>> 21);
    return result;
  };
}

/**
 * A generator of random numbers from a seed: xoshiro128**, its 128 bits filled from the seed by a 32-bit SplitMix sequence
 * (G. L. Steele, D. Lea & C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014, with MurmurHash3's
 * finaliser). Integer arithmetic and the inverse normal distribution only, so no platform's sine or cosine enters.
 * @param seed whole number from 0 to 2^53 - 1
 * @throws RangeError for any other seed, and from `integer` for an n outside 1 … 2^32
 * @example createRandom(7).uniform()
 */
export function createRandom(seed: number): Random {
  checkSeed(seed, 'createRandom');
  let counter = seed >>> 0;
  const high = scramble(Math.floor(seed / 4294967296));
  const word = (): number => {
    counter = (counter + GOLDEN) | 0;
    return scramble(counter ^ high);
  };
  // Four distinct counters go through a bijection, so the four words differ and the forbidden all-zero state can't occur.
  const next = xoshiro128(word(), word(), word(), word());

  function uniform(): number {
    // (k + 1/2)/2^52 with k of 52 bits: exact in double precision, never 0 or 1.
    const upper = next() >>> 6;
    const lower = next() >>> 6;
    return (upper * 67108864 + lower + 0.5) / 4503599627370496;
  }

  function integer(n: number): number {
    if (!Number.isInteger(n) || !(n >= 1 && n <= 4294967296))
      throw new RangeError(`integer: n must be a whole number from 1 to 2^32, got ${n}`);
    // The last, incomplete block of n values is refused: keeping it would favour the small numbers.
    const limit = 4294967296 - (4294967296 % n);
    for (;;) {
      const draw = next();
      if (draw < limit) return draw % n;
    }
  }

  return Object.freeze({ uniform, normal: () => normalQuantile(uniform()), integer });
}

/**
 * A seed for one named part of a job, so that parts can be added or reordered without changing each other's numbers.
 * FNV-1a over the label's UTF-16 units, started from the scrambled seed; result from 0 to 2^32 - 1.
 * @example splitSeed(1, 'bootstrap') !== splitSeed(1, 'sampler')
 */
export function splitSeed(seed: number, label: string): number {
  checkSeed(seed, 'splitSeed');
  let hash = (0x811c9dc5 ^ scramble(seed + GOLDEN) ^ scramble(Math.floor(seed / 4294967296))) >>> 0;
  for (let i = 0; i < label.length; i++) {
    const unit = label.charCodeAt(i);
    hash = Math.imul(hash ^ (unit & 255), 0x01000193);
    hash = Math.imul(hash ^ (unit >>> 8), 0x01000193);
  }
  return scramble(hash);
}
