import { describe, expect, it } from 'vitest';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { keepVisits } from '../../src/align/keepVisits.js';
import { ratingWords } from '../../src/fit/ratingWords.js';
import { readingNoise } from '../../src/fit/readingNoise.js';
import { staffOffset } from '../../src/fit/staffOffset.js';
import { GROWING_LOG_BAYES_FACTOR } from '../../src/fit/ratingForm.js';
import { refitLevels } from '../../src/fit/refitLevels.js';
import { warmStarts } from '../../src/fit/warmStart.js';
import type { LevelFit } from '../../src/fit/types.js';
import { visitState } from '../../src/judge/visitStates.js';
import { quantile } from '../../src/kernel/quantile.js';
import { expectClose } from '../expectClose.js';
import { OFFSET, staffVisits } from './staffWorld.js';

const SEEDS = [1, 2, 3, 4, 5];
const fitsOf = (growing: boolean) =>
  SEEDS.map((seed) => {
    const aligned = staffVisits({ seed, growing, mismatch: 0.05, share: 0.2 });
    return { aligned, fits: fitLevels(aligned, { modes: ['one-reading'], draws: 200, seed }) };
  });
const growing = fitsOf(true);
const constant = fitsOf(false);
const ratingOf = ({ fits }: (typeof growing)[number]) => fits['one-reading'].features[1].rating!;

describe('the noise of a staff in the level model', () => {
  it('grows where it does, and by how much', () => {
    const found = growing.filter((one) => ratingOf(one).noiseForm === 'growing');
    // In 60 logs of this kind 43 found it; in 60 with constant noise none did.
    expect(found.length).toBeGreaterThanOrEqual(4);
    const shares = found.map((one) => {
      const rating = ratingOf(one);
      const c = 1;
      const share = rating.base.map((_, draw) => {
        const height = Math.exp((c - rating.a[draw]) / rating.p[draw]);
        return readingNoise(rating, { draw, c }) / height;
      });
      return quantile(share, 0.5);
    });
    expectClose(shares.reduce((a, b) => a + b, 0) / shares.length, 0.2, { rel: 0.25, why: 'a fifth of the height' });
    for (const one of found) {
      expect(ratingOf(one).noiseLogBayesFactor).toBeGreaterThan(GROWING_LOG_BAYES_FACTOR);
      expect(ratingOf(one).form).toBe('power');
    }
  });

  it('stays the same everywhere where it is, to the digits of before', () => {
    for (const one of constant) {
      const rating = ratingOf(one);
      expect(rating.noiseForm).toBe('constant');
      expect(rating.noiseLogBayesFactor).toBeLessThan(GROWING_LOG_BAYES_FACTOR);
      expect(readingNoise(rating, { draw: 3, c: 2 })).toBe(rating.noise[3]);
    }
    const medians = constant.map((one) => quantile(ratingOf(one).noise, 0.5));
    expectClose(medians.reduce((a, b) => a + b, 0) / medians.length, 3, { rel: 0.25, why: '3 cm' });
  });

  it('the offset’s interval holds the truth under either noise', () => {
    const offsets = [...growing, ...constant].map(({ fits }) => staffOffset(fits['one-reading'], { feature: 'f1' }));
    expect(offsets.every(({ status }) => status === 'ok')).toBe(true);
    const held = (of: (one: (typeof offsets)[number]) => boolean): number => offsets.filter(of).length;
    // In 60 creeks of each noise 80 % intervals held it in 87 % (constant) and 82 % (growing), 95 % intervals in 97 and 92 %.
    expect(held(({ i80: [from, to] }) => from! <= OFFSET && OFFSET <= to!)).toBeGreaterThanOrEqual(6);
    expect(held(({ i95: [from, to] }) => from! <= OFFSET && OFFSET <= to!)).toBeGreaterThanOrEqual(8);
    expect(held(({ below95 }) => OFFSET <= below95)).toBeGreaterThanOrEqual(8);
  });

  it('is refitted as it was found', () => {
    const { aligned, fits } = growing.find((one) => ratingOf(one).noiseForm === 'growing')!;
    const wanted = [[{ way: 'one-reading' as const, leadHours: 0, draws: 300 }]];
    const [warm] = warmStarts(aligned, fits, { wanted, seed: 1 });
    expect(warm.ratingForms).toEqual([null, 'growing']);
    const left = keepVisits(aligned, ({ index }) => index % 8 !== 3);
    const answer = refitLevels(left, warm).answers[0]!;
    const slow = fitLevels(left, { modes: ['one-reading'], draws: 800, seed: 2, lasting: false })['one-reading'];
    const rating = answer.features[1].rating!;
    expect([rating.noiseForm, slow.features[1].rating!.noiseForm]).toEqual(['growing', 'growing']);
    expect(rating.noiseSentence).toBe('The scatter grows with the height, as in the fit of all visits.');
    const mean = answer.weights.reduce((sum, w, d) => sum + w * Math.log(rating.noise[d]), 0);
    const slowMean = slow.features[1].rating!.noise.reduce((sum, v) => sum + Math.log(v), 0) / 800;
    expectClose(mean, slowMean, { abs: 0.06, why: 'ln noise by refit and from the start' });
  });

  it('the state of a visit by the judgement is that of the fit', () => {
    const { aligned, fits } = growing.find((one) => ratingOf(one).noiseForm === 'growing')!;
    const fit: LevelFit = fits['one-reading'];
    const n = aligned.visitIds.length;
    for (const draw of [0, 77, 150])
      for (const visit of [0, 9, 31]) {
        const { logLik } = visitState(
          { fit, aligned, visit, draw, point: 0 },
          { range: { below: 0, above: 0, step: 0.05 }, sigmaShares: [1] },
        );
        expectClose(logLik[0], fit.draws.visitLogLik[draw * n + visit], { abs: 4e-3, why: `draw ${draw}, ${visit}` });
      }
  });
});

describe('a staff that never moved', () => {
  it('is read as a line, however many times', () => {
    const moving = staffVisits({ seed: 1, visits: 20, growing: false });
    const aligned = { ...moving, sightingValue: moving.sightingValue.map((v) => (v === v ? 40 : v)) };
    const fit = fitLevels(aligned, { modes: ['one-reading'], draws: 60 })['one-reading'];
    const rating = fit.features[1].rating!;
    expect([fit.status, rating.form, rating.noiseForm]).toEqual(['converged', 'line', 'constant']);
    expect(rating.noiseLogBayesFactor).toBeNaN();
    expect([rating.formSentence, rating.noiseSentence]).toEqual([
      'Read as a straight line in ln flow: its readings give nothing to compare forms by.',
      'The scatter is taken as the same at all heights: its readings give nothing to compare by.',
    ]);
  });
});

describe('why a form and a noise were taken', () => {
  const of = (readings: number, powerOverLine: number, growingOverConstant: number, breakOverOne = NaN) => ({
    readings,
    powerOverLine,
    growingOverConstant,
    breakOverOne,
  });

  it('in plain words', () => {
    expect(ratingWords('line', of(1, NaN, NaN))).toEqual({
      formSentence:
        'Read as a straight line in ln flow: 1 reading is too few to tell (8 are needed) where it would read no flow.',
      noiseSentence: 'The scatter is taken as the same at all heights: 1 reading is too few to tell (8 are needed).',
    });
    expect(ratingWords('line', of(12, -1, -2))).toEqual({
      formSentence:
        'Read as a straight line in ln flow: the visits make it 2.7 times likelier than a power law with an offset. Whether the curve breaks anywhere needs 24 readings.',
      noiseSentence:
        'The scatter is taken as the same at all heights: the visits make that 7.4 times likelier than a scatter that grows with the height.',
    });
    expect(ratingWords('power', of(30, 9, 2, -1))).toEqual({
      formSentence:
        'Read as a power law with an offset: the visits make it more than 1000 times likelier than a straight line in ln flow. It breaks nowhere that the visits show.',
      noiseSentence:
        'The scatter is taken as the same at all heights: that it grows with the height is 7.4 times likelier, and 20 times is asked for.',
    });
    expect(ratingWords('power', of(30, 2, -1, 1)).formSentence).toBe(
      'Read as a power law with an offset: the visits make it 7.4 times likelier than a straight line in ln flow. That it breaks somewhere is 2.7 times likelier, and 20 times is asked for.',
    );
    expect(ratingWords('segments', of(30, 2, -1, 4)).formSentence).toBe(
      'Read as two power laws that meet at a break: the visits make it 55 times likelier than one.',
    );
    expect(ratingWords('segments', of(30, 2, 9, 4)).noiseSentence).toBe(
      'Beside a break the scatter is taken as the same at all heights.',
    );
    expect(ratingWords('segments', undefined).formSentence).toBe(
      'Read as two power laws that meet at a break, as in the fit of all visits.',
    );
    expect(ratingWords('growing', of(30, 4, 3.5)).noiseSentence).toBe(
      'The scatter grows with the height above no flow: the visits make that 33 times likelier than the same scatter at all heights.',
    );
  });
});
