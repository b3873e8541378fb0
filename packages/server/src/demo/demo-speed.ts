/** How many seconds of a demonstration pass in a real one: from pitching to the crash within a quarter of an hour. */
export const DEMO_SPEED = 1200
