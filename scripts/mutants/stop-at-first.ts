import fc from 'fast-check'

/** A mutant is dead at the first case that fails; looking for a smaller one would only take time. */
fc.configureGlobal({ ...fc.readConfigureGlobal(), endOnFailure: true })
