/** Runes everywhere: what is state, and what follows from it, is written down where it stands. */
export default { compilerOptions: { runes: true } }
