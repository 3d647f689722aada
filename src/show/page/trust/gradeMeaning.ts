import type { Grade } from '../../../judge/types.js';

/** What a grade means for a plan, in a paddler's words. */
export const GRADE_MEANING: Readonly<Record<Grade, string>> = Object.freeze({
  'good guide': 'It mostly names the right level. Plan with it, and still look at the water before you get on.',
  'fair guide':
    'It often names the right level and is sometimes one off. Use it to choose whether to drive, not whether to get on.',
  'rough guide':
    'It tells much water from little and is often a level off. Use it to decide whether a look is worth the drive.',
  'no usable relation': 'Its readings say nothing about this run that you could plan with.',
  'too thin': 'There is too little in the log to say how good it is.',
});
