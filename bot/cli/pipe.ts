/** Who reads from a command may stop reading (`| head`): that ends it quietly and is no error. */
export function endWithReader(stream: NodeJS.WriteStream = process.stdout): void {
  stream.on("error", (error: NodeJS.ErrnoException) => process.exit(error.code === "EPIPE" ? 0 : 1));
}
