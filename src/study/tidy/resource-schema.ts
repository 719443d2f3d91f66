import type { Field, TableSchema } from './table-schema.ts';

/** A field of a Frictionless table schema; `unit` is our own property. */
export interface FrictionlessField {
  readonly name: string;
  readonly type: Field['type'];
  readonly description: string;
  readonly unit?: string;
  readonly trueValues?: readonly string[];
  readonly falseValues?: readonly string[];
  readonly constraints?: {
    readonly required?: true;
    readonly enum?: readonly string[];
    readonly minimum?: number;
    readonly maximum?: number;
  };
}

export interface FrictionlessSchema {
  readonly fields: readonly FrictionlessField[];
  readonly missingValues: readonly string[];
  /** Where no column of the key can be empty: a primary key has no empty cell. */
  readonly primaryKey?: readonly string[];
  /** Where one can be: of version 2 of the standard, which readers of version 1 pass over. */
  readonly uniqueKeys?: readonly (readonly string[])[];
  readonly foreignKeys?: readonly {
    readonly fields: readonly string[];
    readonly reference: { readonly resource: string; readonly fields: readonly string[] };
  }[];
}

/**
 * The table schema of a table as found (Frictionless Data, Table Schema 1.0).
 *
 * @param fields the declared columns that are there, in the order of the file
 * @param tables names of the tables beside it: foreign keys to others are left out; null: none are given
 */
export function frictionlessSchema(
  schema: TableSchema,
  fields: readonly Field[],
  tables: ReadonlySet<string> | null = null,
): FrictionlessSchema {
  const { key } = schema;
  const required = key.every((name) => fields.some((field) => field.name === name && field.required));
  const foreignKeys = schema.foreignKeys.filter(({ table }) => tables?.has(table));
  return {
    fields: fields.map(frictionlessField),
    missingValues: [''],
    ...(key.length > 0 && (required ? { primaryKey: key } : { uniqueKeys: [key] })),
    ...(foreignKeys.length > 0 && {
      foreignKeys: foreignKeys.map(({ fields: own, table, reference }) => ({
        fields: own,
        reference: { resource: table, fields: reference },
      })),
    }),
  };
}

function frictionlessField({
  name,
  type,
  unit,
  definition,
  required,
  values,
  minimum,
  maximum,
}: Field): FrictionlessField {
  const constraints = {
    ...(required && { required: true as const }),
    ...(values && { enum: values }),
    ...(minimum !== undefined && { minimum }),
    ...(maximum !== undefined && { maximum }),
  };
  return {
    name,
    type,
    description: definition,
    ...(unit !== '' && { unit }),
    ...(type === 'boolean' && { trueValues: ['true'], falseValues: ['false'] }),
    ...(Object.keys(constraints).length > 0 && { constraints }),
  };
}
