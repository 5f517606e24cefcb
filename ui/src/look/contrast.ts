/**
 * Contrast of two colours by the definition of WCAG 2.2 ("contrast ratio", "relative luminance").
 * Used by the tests of the tokens; screens never compute colours.
 */

/** Parses `#RRGGBB` into its three channels, 0 to 255. Throws on anything else. */
export function channels(hex: string): [number, number, number] {
  const parts = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex)
  if (!parts) throw new Error(`${hex} is not a colour of the form #RRGGBB`)
  const [, red, green, blue] = parts as unknown as [string, string, string, string]
  return [parseInt(red, 16), parseInt(green, 16), parseInt(blue, 16)]
}

/** Returns the relative luminance, 0 (black) to 1 (white). */
export function luminance(hex: string): number {
  const [red, green, blue] = channels(hex).map((value) => {
    const part = value / 255
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4
  }) as [number, number, number]
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/** Returns the contrast ratio, 1 to 21; the order of the two does not matter. */
export function contrast(one: string, other: string): number {
  const [dark, light] = [luminance(one), luminance(other)].sort((a, b) => a - b) as [number, number]
  return (light + 0.05) / (dark + 0.05)
}
