/** The package's version, part of every chart's provenance; a test holds it to package.json. */
export const VERSION = '0.1.0';
