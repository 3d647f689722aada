/** Numbers are said the same way in a judgement and on a chart. */
export * from '../judge/numbers.js';
