/** What a failed command says: the code is branched on, the message is read by people. */
export interface ErrorBody {
  code: string
  message: string
  /** The field of the request that it belongs to, if it belongs to one. */
  field?: string | null
  /** What is missing, if that is why it was refused. */
  missing?: unknown[]
  /** For whoever repairs it; never shown first. */
  detail?: string | null
}

/** The only error that leaves `backend`. */
export class BackendError extends Error {
  override readonly name = 'BackendError'
  readonly code: string
  readonly field: string | null
  readonly missing: unknown[]
  readonly detail: string | null

  constructor(body: ErrorBody) {
    super(body.message)
    this.code = body.code
    this.field = body.field ?? null
    this.missing = body.missing ?? []
    this.detail = body.detail ?? null
  }
}

function isErrorBody(value: unknown): value is ErrorBody {
  if (typeof value !== 'object' || value === null) return false
  const { code, message } = value as Record<string, unknown>
  return typeof code === 'string' && typeof message === 'string'
}

/** Turns whatever was thrown or answered into a `BackendError`; never loses the original text. */
export function asBackendError(cause: unknown): BackendError {
  if (cause instanceof BackendError) return cause
  if (isErrorBody(cause)) return new BackendError(cause)
  return new BackendError({
    code: 'no_answer',
    message: 'The program behind this window did not answer. Nothing you typed is lost; try again, or restart Waybench.',
    detail: cause instanceof Error ? cause.message : String(cause),
  })
}
