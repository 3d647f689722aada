import { createRandom, splitSeed } from '../../src/kernel/random.js';

/** A stream of random numbers that a name and a seed fix for good. */
export interface RandomStream {
  /** Uniform on (0, 1). */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
  /** Exponential with mean 1. */
  exponential(): number;
  /** Poisson count; small means only, it multiplies uniforms. */
  poisson(mean: number): number;
}

/** The stream called `name` of a seed. Each part of the sample draws from its own, so one more visit leaves the weather alone. */
export function randomStream(seed: number, name: string): RandomStream {
  const { uniform, normal } = createRandom(splitSeed(seed, name));
  return {
    uniform,
    normal,
    exponential: () => -Math.log(uniform()),
    poisson: (mean) => {
      const stop = Math.exp(-mean);
      let count = 0;
      for (let product = uniform(); product > stop; product *= uniform()) count++;
      return count;
    },
  };
}
