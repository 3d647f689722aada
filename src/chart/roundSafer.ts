/** Values are rounded to the safer side alike in a rule of the judgement and on a chart. */
export * from '../judge/roundSafer.js';
