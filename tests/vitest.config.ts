import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const inCi = process.env.CI === 'true';

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 30_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
    // The built package is tested as Node loads it, not as the test runner would transform it.
    server: { deps: { external: [/\/dist\/.*\.js$/] } },
    reporters: inCi ? ['default', ['json', { outputFile: 'coverage/tests.json' }]] : ['default'],
    coverage: { include: ['lib/**/*.ts'], reporter: ['text', 'json-summary'] },
  },
});
