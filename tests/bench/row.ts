/** One line of the bench's table. */
export interface Row {
  /** What was measured. */
  name: string;
  /** The figure with its unit: "61,200 messages/s". */
  figure: string;
  /** Beside what, and how it compares: "chrono-node alone 71,000/s: 0.86". */
  beside?: string;
  note?: string;
}
