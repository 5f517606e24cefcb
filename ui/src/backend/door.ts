/** The shape both doors to Rust have. */
export interface Door {
  /** Runs one command of the table in `desk`. Rejects with a `BackendError` only. */
  call<Response>(name: string, request: unknown): Promise<Response>
  /** Hears events of one kind until the returned function is called. */
  on<Payload>(kind: string, hear: (payload: Payload) => void): () => void
  /** Where the picture with this content hash (or its thumbnail) can be loaded from. */
  photoUrl(hash: string, size?: 'whole' | 'thumb'): string
  /** Takes a picture in and records it where `target` (a `PhotoTarget`) says. Rejects with a `BackendError` only. */
  putPhoto<Added>(bytes: Blob, target: unknown): Promise<Added>
  /** Says what a report's PDF is (a `ReportCheck`). Rejects with a `BackendError` only. */
  checkReport<Check>(bytes: Blob): Promise<Check>
  /** Shows a paper that was made on this computer, by its file name. */
  openPaper(name: string): Promise<void>
  /** Shows a kept PDF, by the hash of its bytes; one from another desktop is fetched first. */
  openFile(hash: string): Promise<void>
}
