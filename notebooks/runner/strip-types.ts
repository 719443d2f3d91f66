import { type TransformFailure, transformSync } from 'esbuild';
import type { CellModule } from './cells-to-module.ts';
import { cellFailed } from './messages.ts';

/** JavaScript of a notebook's module with a source map to the lines of its TypeScript. Errors: notebook-cell-failed. */
export function stripTypes(file: string, { source, placeOf }: CellModule): string {
  try {
    return transformSync(source, {
      loader: 'ts',
      format: 'esm',
      target: 'es2022',
      sourcemap: 'inline',
      sourcefile: file,
      logLevel: 'silent',
      tsconfigRaw: { compilerOptions: { verbatimModuleSyntax: true } },
    }).code;
  } catch (error) {
    const [{ text, location }] = (error as TransformFailure).errors;
    const { cell, line } = placeOf(location?.line ?? 0) ?? { cell: 0, line: 0 };
    throw cellFailed(file, cell, line, `SyntaxError: ${text}`);
  }
}
