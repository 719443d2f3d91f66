/** sRGB, WCAG contrast and CIELAB, each as its standard says (IEC 61966-2-1; WCAG 2.1; CIE 15). */
export function linear(hex: string): number[] {
  return [1, 3, 5].map((at) => {
    const value = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  });
}

export function contrast(a: string, b: string): number {
  const luminance = (hex: string) => {
    const [red, green, blue] = linear(hex);
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

/** CIELAB (D65) of linear RGB. */
function lab(rgb: readonly number[]): number[] {
  const [red, green, blue] = rgb.map((value) => Math.min(1, Math.max(0, value)));
  const x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505;
  const y = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  const z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089;
  const f = (t: number) => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
  return [116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))];
}

/** CIE 1976 distance of two colours as seen through a 3 × 3 matrix on linear RGB. */
export function distanceSeen(a: string, b: string, matrix: readonly (readonly number[])[]): number {
  const seen = (hex: string) => {
    const rgb = linear(hex);
    return lab(matrix.map((row) => row.reduce((sum, weight, i) => sum + weight * rgb[i], 0)));
  };
  const [left, right] = [seen(a), seen(b)];
  return Math.hypot(...left.map((value, i) => value - right[i]));
}
