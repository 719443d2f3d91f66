/** The part of numeric 1.2.6 that is used here; the package ships no types. */
declare module 'numeric' {
  const numeric: {
    /**
     * Least ½ xᵀ D x − dᵀ x under Aᵀ x ≥ b; D and A as rows (A: variables × constraints). `message` is '' where it found a
     * solution. `iact`: numbers of the active constraints, from 1, then zeros.
     */
    solveQP(
      D: readonly (readonly number[])[],
      d: readonly number[],
      A: readonly (readonly number[])[],
      b: readonly number[],
    ): {
      readonly solution: readonly number[];
      readonly iact: readonly (number | undefined)[];
      readonly message: string;
    };
  };
  export default numeric;
}
