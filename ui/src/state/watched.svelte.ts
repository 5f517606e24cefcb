/** The folder whose new pictures land on the job that is open, and which job that is. */
import { aimWatchedFolder, setup, type PhotoPlace } from '../backend/generated'
import { onChanged } from './changes'

class WatchedFolder {
  path = $state('')

  /** Follows the setting of this lab until the returned function is called. */
  start(): () => void {
    const ask = async () => {
      this.path = (await setup().catch(() => undefined))?.watched_folder ?? this.path
    }
    void ask()
    return onChanged((changed) => changed.kind === 'folder' && void ask())
  }

  /** Lets new pictures land in one place of a job until the returned function is called. */
  aim(job_id: string, place: PhotoPlace): () => void {
    const tell = (job: string | null) => void aimWatchedFolder({ job_id: job, place }).catch(() => undefined)
    tell(job_id)
    return () => tell(null)
  }
}

export const watched = new WatchedFolder()
