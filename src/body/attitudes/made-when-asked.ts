/** A record whose values are made when they are first read: most runs of the chain never ask for most of them. */
export function madeWhenAsked<K extends string, V>(makers: Readonly<Record<K, () => V>>): Readonly<Record<K, V>> {
  const record = {};
  for (const name of Object.keys(makers) as K[]) {
    let made: { readonly value: V } | null = null;
    Object.defineProperty(record, name, {
      enumerable: true,
      get: () => {
        made ??= { value: makers[name]() };
        return made.value;
      },
    });
  }
  return record as Readonly<Record<K, V>>;
}
