/** The command that does the same again, with words quoted for a POSIX shell where that is needed. */
export function commandAgain(words: readonly (string | number)[]): string {
  return ['attemper', ...words].map(word => quotedForShell(String(word))).join(' ')
}

function quotedForShell(word: string): string {
  return /^[\p{L}\p{N}_@%+=:,./-]+$/u.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`
}
