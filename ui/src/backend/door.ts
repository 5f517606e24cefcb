/** The shape both doors to Rust have. */
export interface Door {
  /** Runs one command of the table in `desk`. Rejects with a `BackendError` only. */
  call<Response>(name: string, request: unknown): Promise<Response>
  /** Hears events of one kind until the returned function is called. */
  on<Payload>(kind: string, hear: (payload: Payload) => void): () => void
  /** Where the picture with this content hash (or its thumbnail) can be loaded from. */
  photoUrl(hash: string, size?: 'whole' | 'thumb'): string
}
