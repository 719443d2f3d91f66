import ts from 'typescript';
import { cellFailed } from './messages.ts';
import type { Notebook } from './notebook.ts';
import { RECORDER } from './recorder.ts';
import { joined } from './text-lines.ts';

const NAME = '__notebook';

/** A static import of a cell: where it stands and what it asks for. */
export interface CellImport {
  readonly cell: number;
  readonly line: number;
  readonly specifier: string;
  readonly names: readonly string[];
}

export interface CellModule {
  /** TypeScript: all code cells one after another, so that scope is that of one ordinary module. */
  readonly source: string;
  readonly imports: readonly CellImport[];
  /** Cell and line of a line of `source`, all from 1; null for lines between cells. */
  placeOf(line: number): { cell: number; line: number } | null;
}

/**
 * The code cells of a notebook as one TypeScript module. Between cells stands a mark that tells the recorder which cell
 * speaks; a cell's last statement, where it is an expression, is handed to the recorder as the cell's value.
 *
 * Every cell must be whole by itself. Line breaks of cells are kept, so that an error's line leads back to its cell.
 * Differs from a console in one thing: `const` and `let` may not be declared twice, as in any module.
 * Errors: notebook-cell-failed for a cell that cannot be parsed.
 */
export function cellsToModule(file: string, { cells }: Notebook): CellModule {
  const parts = [`const ${NAME} = (globalThis as any)[Symbol.for(${JSON.stringify(RECORDER)})];`];
  const spans: { cell: number; from: number; lines: number }[] = [];
  const imports: CellImport[] = [];
  let line = 2;
  cells.forEach((cell, index) => {
    const code = joined(cell.source).replace(/\r\n?/g, '\n');
    if (cell.cell_type !== 'code' || code.trim() === '') return;
    const parsed = parse(file, index + 1, code);
    imports.push(...importsOf(parsed, index + 1));
    parts.push(`;await ${NAME}.begin(${index});`, withLastValue(parsed, code));
    const count = code.split('\n').length;
    spans.push({ cell: index + 1, from: line + 1, lines: count });
    line += 1 + count;
  });
  parts.push(';', '');
  return {
    source: parts.join('\n'),
    imports,
    placeOf(at) {
      const span = spans.find(({ from, lines }) => at >= from && at < from + lines);
      return span ? { cell: span.cell, line: at - span.from + 1 } : null;
    },
  };
}

function parse(file: string, cell: number, code: string): ts.SourceFile {
  const options: ts.CompilerOptions = { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext };
  const { diagnostics } = ts.transpileModule(code, { compilerOptions: options, reportDiagnostics: true });
  const wrong = diagnostics?.find(({ category }) => category === ts.DiagnosticCategory.Error);
  const parsed = ts.createSourceFile('cell.ts', code, ts.ScriptTarget.ES2022, true, ts.ScriptKind.TS);
  if (wrong) {
    const line = parsed.getLineAndCharacterOfPosition(wrong.start ?? 0).line + 1;
    throw cellFailed(file, cell, line, `SyntaxError: ${ts.flattenDiagnosticMessageText(wrong.messageText, ' ')}`);
  }
  return parsed;
}

/** The code, its last expression handed to the recorder; nothing but insertions within lines. */
function withLastValue({ statements }: ts.SourceFile, code: string): string {
  const last = statements.at(-1);
  if (!last || !ts.isExpressionStatement(last)) return code;
  const [from, to] = [last.expression.getStart(), last.expression.getEnd()];
  return `${code.slice(0, from)}await ${NAME}.value((${code.slice(from, to)}))${code.slice(to)}`;
}

function importsOf(parsed: ts.SourceFile, cell: number): CellImport[] {
  return parsed.statements.filter(ts.isImportDeclaration).map((statement) => {
    const bindings = statement.importClause?.namedBindings;
    const named = bindings && ts.isNamedImports(bindings) ? bindings.elements : [];
    return {
      cell,
      line: parsed.getLineAndCharacterOfPosition(statement.getStart()).line + 1,
      specifier: (statement.moduleSpecifier as ts.StringLiteral).text,
      names: named.map(({ propertyName, name }) => (propertyName ?? name).text),
    };
  });
}
