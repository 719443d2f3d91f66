export default {
  testEnvironment: 'node',
  roots: ['<rootDir>/tests'],
  testMatch: ['**/*.test.ts'],
  extensionsToTreatAsEsm: ['.ts'],
  transform: {
    '^.+\\.ts$': [
      '<rootDir>/tests/runner/transform.cjs',
      { jsc: { parser: { syntax: 'typescript' }, target: 'es2022' }, module: { type: 'es6' } },
    ],
  },
  testTimeout: 120000,
  // All cores: a runner by itself would leave one of two idle.
  maxWorkers: '100%',
  // What a test file loaded is not all given back: a worker that has grown this far is replaced.
  workerIdleMemoryLimit: '1GB',
};
