/** One number of a recording, as `measures.csv` names it. */
export interface MeasureName {
  readonly measure: string;
  readonly side: 'both' | 'left' | 'right' | '';
  readonly at: string;
}

/** What may explain an outcome. `column`: its name in the tables. */
export type Predictor =
  | { readonly kind: 'file'; readonly name: string; readonly column: string; readonly unit: string }
  | { readonly kind: 'week'; readonly name: string; readonly column: string; readonly unit: string }
  | { readonly kind: 'condition'; readonly name: string; readonly column: string; readonly condition: string }
  | {
      readonly kind: 'measure';
      readonly name: string;
      readonly column: string;
      readonly of: MeasureName;
      /** A length or ratio of the body, which is one for all recordings of an athlete. */
      readonly ofBody: boolean;
    };
