/** Whether a server bound to this host can only be reached from its own machine. An empty host means all addresses. */
export function isLoopback(host: string): boolean {
  const bare = host.toLowerCase().replace(/^\[(.*)\]$/, '$1')
  return (
    bare === 'localhost' ||
    bare === '::1' ||
    /^(?:::ffff:)?127\.(?:\d{1,3})\.(?:\d{1,3})\.(?:\d{1,3})$/.test(bare)
  )
}
