/** The cautions that go with every output that could send someone to the water, in the order they are shown. */
export const CAUTIONS: readonly string[] = Object.freeze([
  'Moving water kills. This is no permission to paddle.',
  'A gauge relation says what others have met at such a reading. It says nothing about trees, wire, undercuts, dams, ice, or your group.',

  'Scout, set safety, follow local rules and closures and land-owner access, take qualified instruction, ' +
    'and walk away when it looks wrong.',
  'Near or above the highest logged reading there is no evidence at all.',
  'Official readings are often provisional and can be wrong or late in a flood.',
]);
