const { createTransformer } = require('@swc/jest');

/*
 * Tests run in a context of their own in which every look-up of a global is intercepted; in the loops of numerical code that
 * costs more than the arithmetic. A module-level name in front of each file is looked up once.
 */
const HOISTED = 'const Math = globalThis.Math, Number = globalThis.Number, Float64Array = globalThis.Float64Array;';

const withHoisted = (result) => ({ ...result, code: `${HOISTED} ${result.code}` });

module.exports = {
  createTransformer(options) {
    const swc = createTransformer(options);
    return {
      ...swc,
      getCacheKey: (...args) => `${HOISTED}${swc.getCacheKey(...args)}`,
      process: (...args) => withHoisted(swc.process(...args)),
      processAsync: async (...args) => withHoisted(await swc.processAsync(...args)),
    };
  },
};
