/**
 * Words in lines no wider than `width`, each as full as it gets; a word that is wider stands alone. `widthOf`: the width of
 * a text in the unit of `width`. No-break spaces hold words together.
 */
export function wrapped(text: string, width: number, widthOf: (part: string) => number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/[ \n\t]+/).filter((one) => one !== '')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && widthOf(longer) > width) {
      lines.push(line);
      line = word;
    } else {
      line = longer;
    }
  }
  return line === '' ? lines : [...lines, line];
}
