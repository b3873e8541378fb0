/** A sentence about a batch as it was when it was last heard of: whether all is still well, nobody here knows. */
export function asItWas(sentence: string): string {
  return sentence.replace(/[;,] all is well\./, '.')
}
