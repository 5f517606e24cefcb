/** A small choice that stays as it was on this computer: the stock in the printer, the size of its paper. */
export function kept(name: string, usual: string): { get(): string; set(value: string): void } {
  const key = `waybench.${name}`
  return {
    get() {
      try {
        return localStorage.getItem(key) ?? usual
      } catch {
        return usual
      }
    },
    set(value) {
      try {
        localStorage.setItem(key, value)
      } catch {
        // Asked for again next time.
      }
    },
  }
}
