import { z } from 'zod';
import { notANotebook, notJson, repeatedCellId } from './messages.ts';

/**
 * The open notebook format, nbformat 4 from minor 5 on (nbformat documentation, "The Notebook file format"): what is read
 * here is checked as strictly as the format's own JSON schema does it, without fields the format does not know.
 */
const text = z.union([z.string(), z.array(z.string())]);
const count = z.int().nonnegative().nullable();
const metadata = z.record(z.string(), z.unknown());
const bundle = z.record(z.string(), z.unknown());

const output = z.discriminatedUnion('output_type', [
  z.strictObject({ output_type: z.literal('execute_result'), execution_count: count, data: bundle, metadata }),
  z.strictObject({ output_type: z.literal('display_data'), data: bundle, metadata }),
  z.strictObject({ output_type: z.literal('stream'), name: z.string(), text }),
  z.strictObject({
    output_type: z.literal('error'),
    ename: z.string(),
    evalue: z.string(),
    traceback: z.array(z.string()),
  }),
]);

const id = z
  .string()
  .min(1)
  .max(64)
  .regex(/^[a-zA-Z0-9_-]+$/);
const cell = z.discriminatedUnion('cell_type', [
  z.strictObject({
    cell_type: z.literal('code'),
    id,
    metadata,
    source: text,
    execution_count: count,
    outputs: z.array(output),
  }),
  z.strictObject({ cell_type: z.literal('markdown'), id, metadata, source: text, attachments: metadata.optional() }),
  z.strictObject({ cell_type: z.literal('raw'), id, metadata, source: text, attachments: metadata.optional() }),
]);

const notebook = z.strictObject({
  cells: z.array(cell),
  metadata: z.looseObject({
    kernelspec: z.looseObject({ name: z.string(), display_name: z.string() }),
    language_info: z.looseObject({ name: z.literal('typescript') }),
    /** Ours: environment variables without which the notebook is left as it stands. */
    kneeward: z.strictObject({ needs: z.array(z.string()) }).optional(),
  }),
  nbformat: z.literal(4),
  nbformat_minor: z.int().min(5),
});

export type Notebook = z.infer<typeof notebook>;
export type Cell = Notebook['cells'][number];
export type CodeCell = Extract<Cell, { cell_type: 'code' }>;
export type Output = CodeCell['outputs'][number];

/** Notebook of a file's text. Errors: notebook-not-json, notebook-format, notebook-cell-id-repeated. */
export function parseNotebook(file: string, json: string): Notebook {
  let raw: unknown;
  try {
    raw = JSON.parse(json);
  } catch (error) {
    throw notJson(file, (error as Error).message);
  }
  const found = notebook.safeParse(raw);
  if (!found.success) {
    const [{ path, message }] = found.error.issues;
    throw notANotebook(file, path.join('.'), message);
  }
  const seen = new Set<string>();
  for (const { id } of found.data.cells) {
    if (seen.has(id)) throw repeatedCellId(file, id);
    seen.add(id);
  }
  return found.data;
}

/** Text as Jupyter writes it: one space of indentation, a line break at the end. */
export const serialiseNotebook = (of: Notebook): string => `${JSON.stringify(of, null, 1)}\n`;
