/** The name that was wished for, or with a number behind it when it is taken: "Amber ale", "Amber ale 2". */
export function freeName(wish: string, taken: readonly string[]): string {
  if (!taken.includes(wish)) return wish
  const base = wish.replace(/ \d+$/, '')
  for (let number = 2; ; number += 1) {
    const name = `${base} ${number}`
    if (!taken.includes(name)) return name
  }
}
