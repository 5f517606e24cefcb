//! Desktops, users, sessions in SQLite.

use domain::fact::ShopDescription;
use domain::{LabId, PersonId, ShopId};
use rusqlite::{OptionalExtension as _, Row, Transaction, params};

use super::super::StoreError;
use super::super::accounts::{
    AccountStore, DesktopRow, InviteRow, NewDesktop, OneTimeUse, RefusedUse, SessionRow, UserRow,
};
use super::{SqliteStore, StoreResult as _, joining};
use crate::auth::token::TokenHash;
use crate::auth::{LabScope, ShopScope};

impl AccountStore for SqliteStore {
    fn add_join_code(&self, secret: &TokenHash, expires_ms: i64) -> Result<(), StoreError> {
        self.write(|tx| {
            tx.execute(
                "INSERT INTO join_code (secret_hash, expires_ms) VALUES (?1, ?2)",
                params![secret.as_bytes(), expires_ms],
            )
            .doing("keep a join code")?;
            Ok(())
        })
    }

    fn join(
        &self,
        code: &TokenHash,
        desktop: &NewDesktop,
        now_ms: i64,
    ) -> Result<OneTimeUse<DesktopRow>, StoreError> {
        self.write(|tx| joining::join(tx, code, desktop, now_ms))
    }

    fn desktop_by_secret(&self, secret: &TokenHash) -> Result<Option<DesktopRow>, StoreError> {
        self.read(|tx| {
            tx.query_row(
                "SELECT desktop_id, lab_id, name, is_revoked, joined_ms FROM desktop WHERE secret_hash = ?1",
                [secret.as_bytes()],
                desktop_of,
            )
            .optional()
            .doing("look up a desktop")
        })
    }

    fn desktops(&self, scope: &LabScope) -> Result<Vec<DesktopRow>, StoreError> {
        self.read(|tx| {
            tx.prepare(
                "SELECT desktop_id, lab_id, name, is_revoked, joined_ms FROM desktop WHERE lab_id = ?1 ORDER BY desktop_id",
            )
            .and_then(|mut statement| {
                statement.query_map([scope.lab_id().as_bytes()], desktop_of)?.collect()
            })
            .doing("list the desktops")
        })
    }

    fn revoke_desktop(&self, scope: &LabScope, desktop_id: i64) -> Result<bool, StoreError> {
        self.write(|tx| {
            let changed = tx
                .execute(
                    "UPDATE desktop SET is_revoked = 1 WHERE lab_id = ?1 AND desktop_id = ?2",
                    params![scope.lab_id().as_bytes(), desktop_id],
                )
                .doing("take a desktop's right away")?;
            Ok(changed == 1)
        })
    }

    fn remove_user(&self, scope: &LabScope, email: &str) -> Result<bool, StoreError> {
        self.write(|tx| {
            let Some(user) = find_user(tx, "email", email)? else {
                return Ok(false);
            };
            if user.lab_id != scope.lab_id() {
                return Ok(false);
            }
            for statement in [
                "DELETE FROM session WHERE person_id = ?1",
                "DELETE FROM advice_draft WHERE person_id = ?1",
                "DELETE FROM shop_user WHERE person_id = ?1",
            ] {
                tx.execute(statement, [user.person_id.as_bytes()])
                    .doing("take an account away")?;
            }
            Ok(true)
        })
    }

    fn add_invite(
        &self,
        scope: &LabScope,
        shop_id: ShopId,
        secret: &TokenHash,
        email: &str,
        expires_ms: i64,
    ) -> Result<(), StoreError> {
        self.write(|tx| {
            tx.execute(
                "INSERT INTO invite (secret_hash, lab_id, shop_id, email, expires_ms) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![secret.as_bytes(), scope.lab_id().as_bytes(), shop_id.as_bytes(), email, expires_ms],
            )
            .doing("keep an invite")?;
            Ok(())
        })
    }

    fn invite(&self, secret: &TokenHash) -> Result<Option<InviteRow>, StoreError> {
        self.read(|tx| find_invite(tx, secret))
    }

    fn invited_shop(&self, secret: &TokenHash) -> Result<Option<ShopDescription>, StoreError> {
        self.read(|tx| match find_invite(tx, secret)? {
            Some(invite) => super::shop::card(tx, invite.lab_id, "shop", invite.shop_id.as_bytes()),
            None => Ok(None),
        })
    }

    fn use_invite(
        &self,
        secret: &TokenHash,
        user: &UserRow,
        users_max: u32,
        now_ms: i64,
    ) -> Result<OneTimeUse<UserRow>, StoreError> {
        self.write(|tx| {
            let invite = match find_invite(tx, secret)? {
                Some(invite) if invite.used_ms.is_none() && invite.expires_ms > now_ms => invite,
                _ => return Ok(OneTimeUse::NotValid),
            };
            // The shop comes from the invite alone, whatever the form said.
            let user = UserRow {
                lab_id: invite.lab_id,
                shop_id: invite.shop_id,
                ..user.clone()
            };
            let user = match find_user(tx, "email", &user.email)? {
                Some(known) if invite.email == known.email && invite.shop_id == known.shop_id => {
                    renew_user(tx, &known, &user.password_phc)?;
                    UserRow {
                        password_phc: user.password_phc,
                        ..known
                    }
                }
                Some(_) => return Ok(OneTimeUse::Refused(RefusedUse::EmailTaken)),
                None if count_users(tx, &invite)? >= users_max => {
                    return Ok(OneTimeUse::Refused(RefusedUse::TooManyUsers));
                }
                None => {
                    add_user(tx, &user, now_ms)?;
                    user
                }
            };
            tx.execute(
                "UPDATE invite SET used_ms = ?2 WHERE secret_hash = ?1",
                params![secret.as_bytes(), now_ms],
            )
            .doing("use an invite up")?;
            Ok(OneTimeUse::Done(user))
        })
    }

    fn user_by_email(&self, email: &str) -> Result<Option<UserRow>, StoreError> {
        self.read(|tx| find_user(tx, "email", email))
    }

    fn shop_users(&self, scope: &ShopScope) -> Result<Vec<UserRow>, StoreError> {
        self.read(|tx| {
            let mut statement = tx
                .prepare_cached(
                    "SELECT person_id, lab_id, shop_id, email, name, password_phc FROM shop_user \
                     WHERE lab_id = ?1 AND shop_id = ?2 ORDER BY name, person_id",
                )
                .doing("list a shop's users")?;
            let rows = statement
                .query_map(
                    params![scope.lab().lab_id().as_bytes(), scope.shop_id().as_bytes()],
                    user_of,
                )
                .doing("list a shop's users")?;
            rows.collect::<Result<_, _>>().doing("list a shop's users")
        })
    }

    fn set_password(
        &self,
        scope: &ShopScope,
        password_phc: &str,
        kept: &TokenHash,
    ) -> Result<(), StoreError> {
        let person = scope.person_id();
        self.write(|tx| {
            tx.execute(
                "UPDATE shop_user SET password_phc = ?2 WHERE person_id = ?1",
                params![person.as_bytes(), password_phc],
            )
            .doing("change a password")?;
            tx.execute(
                "DELETE FROM session WHERE person_id = ?1 AND secret_hash <> ?2",
                params![person.as_bytes(), kept.as_bytes()],
            )
            .doing("end a user's other sessions")?;
            Ok(())
        })
    }

    fn open_session(&self, session: &SessionRow) -> Result<(), StoreError> {
        self.write(|tx| {
            tx.execute(
                "INSERT INTO session (secret_hash, person_id, opened_ms, used_ms) VALUES (?1, ?2, ?3, ?4)",
                params![session.secret.as_bytes(), session.person_id.as_bytes(), session.opened_ms, session.used_ms],
            )
            .doing("open a session")?;
            Ok(())
        })
    }

    fn session(&self, secret: &TokenHash) -> Result<Option<(SessionRow, UserRow)>, StoreError> {
        self.read(|tx| {
            let row = tx
                .query_row(
                    "SELECT person_id, opened_ms, used_ms FROM session WHERE secret_hash = ?1",
                    [secret.as_bytes()],
                    |row| {
                        Ok(SessionRow {
                            secret: *secret,
                            person_id: PersonId::from_bytes(row.get(0)?),
                            opened_ms: row.get(1)?,
                            used_ms: row.get(2)?,
                        })
                    },
                )
                .optional()
                .doing("look up a session")?;
            let Some(row) = row else { return Ok(None) };
            let user = find_user(tx, "person_id", row.person_id.as_bytes().as_slice())?;
            Ok(user.map(|user| (row, user)))
        })
    }

    fn touch_session(&self, secret: &TokenHash, now_ms: i64) -> Result<(), StoreError> {
        self.write(|tx| {
            tx.execute(
                "UPDATE session SET used_ms = ?2 WHERE secret_hash = ?1",
                params![secret.as_bytes(), now_ms],
            )
            .doing("note a session's use")?;
            Ok(())
        })
    }

    fn close_session(&self, secret: &TokenHash) -> Result<(), StoreError> {
        self.write(|tx| {
            tx.execute(
                "DELETE FROM session WHERE secret_hash = ?1",
                [secret.as_bytes()],
            )
            .doing("end a session")?;
            Ok(())
        })
    }

    fn sweep_accounts(&self, before_ms: i64) -> Result<(), StoreError> {
        self.write(|tx| {
            for statement in [
                "DELETE FROM session WHERE used_ms < ?1",
                "DELETE FROM join_code WHERE expires_ms < ?1",
                "DELETE FROM invite WHERE expires_ms < ?1",
                "DELETE FROM advice_draft WHERE changed_ms < ?1",
            ] {
                tx.execute(statement, [before_ms])
                    .doing("drop what has ended")?;
            }
            Ok(())
        })
    }

    fn advice_draft(&self, scope: &ShopScope) -> Result<Option<Vec<u8>>, StoreError> {
        self.read(|tx| {
            tx.query_row(
                "SELECT body FROM advice_draft WHERE person_id = ?1",
                [scope.person_id().as_bytes()],
                |row| row.get(0),
            )
            .optional()
            .doing("read an unfinished advice")
        })
    }

    fn set_advice_draft(
        &self,
        scope: &ShopScope,
        draft: Option<&[u8]>,
        now_ms: i64,
    ) -> Result<(), StoreError> {
        let person = scope.person_id();
        self.write(|tx| {
            match draft {
                Some(body) => tx.execute(
                    "INSERT INTO advice_draft (person_id, body, changed_ms) VALUES (?1, ?2, ?3) \
                     ON CONFLICT (person_id) DO UPDATE SET body = excluded.body, changed_ms = excluded.changed_ms",
                    params![person.as_bytes(), body, now_ms],
                ),
                None => tx.execute("DELETE FROM advice_draft WHERE person_id = ?1", [person.as_bytes()]),
            }
            .doing("keep an unfinished advice")?;
            Ok(())
        })
    }
}

fn find_invite(tx: &Transaction<'_>, secret: &TokenHash) -> Result<Option<InviteRow>, StoreError> {
    tx.query_row(
        "SELECT lab_id, shop_id, email, expires_ms, used_ms FROM invite WHERE secret_hash = ?1",
        [secret.as_bytes()],
        |row| {
            Ok(InviteRow {
                lab_id: LabId::from_bytes(row.get(0)?),
                shop_id: ShopId::from_bytes(row.get(1)?),
                email: row.get(2)?,
                expires_ms: row.get(3)?,
                used_ms: row.get(4)?,
            })
        },
    )
    .optional()
    .doing("look up an invite")
}

/// `column` is a word of this file, never of a request.
fn find_user(
    tx: &Transaction<'_>,
    column: &'static str,
    value: &(impl rusqlite::ToSql + ?Sized),
) -> Result<Option<UserRow>, StoreError> {
    let sql = format!(
        "SELECT person_id, lab_id, shop_id, email, name, password_phc FROM shop_user WHERE {column} = ?1"
    );
    tx.prepare_cached(&sql)
        .and_then(|mut statement| statement.query_row([value], user_of).optional())
        .doing("look up a user")
}

fn desktop_of(row: &Row<'_>) -> rusqlite::Result<DesktopRow> {
    Ok(DesktopRow {
        desktop_id: row.get(0)?,
        lab_id: LabId::from_bytes(row.get(1)?),
        name: row.get(2)?,
        is_revoked: row.get(3)?,
        joined_ms: row.get(4)?,
    })
}

fn user_of(row: &Row<'_>) -> rusqlite::Result<UserRow> {
    Ok(UserRow {
        person_id: PersonId::from_bytes(row.get(0)?),
        lab_id: LabId::from_bytes(row.get(1)?),
        shop_id: ShopId::from_bytes(row.get(2)?),
        email: row.get(3)?,
        name: row.get(4)?,
        password_phc: row.get(5)?,
    })
}

fn count_users(tx: &Transaction<'_>, invite: &InviteRow) -> Result<u32, StoreError> {
    tx.query_row(
        "SELECT count(*) FROM shop_user WHERE lab_id = ?1 AND shop_id = ?2",
        params![invite.lab_id.as_bytes(), invite.shop_id.as_bytes()],
        |row| row.get(0),
    )
    .doing("count a shop's users")
}

fn add_user(tx: &Transaction<'_>, user: &UserRow, now_ms: i64) -> Result<(), StoreError> {
    tx.execute(
        "INSERT INTO shop_user (person_id, lab_id, shop_id, email, name, password_phc, made_ms) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            user.person_id.as_bytes(),
            user.lab_id.as_bytes(),
            user.shop_id.as_bytes(),
            user.email,
            user.name,
            user.password_phc,
            now_ms
        ],
    )
    .doing("add a user")?;
    Ok(())
}

fn renew_user(tx: &Transaction<'_>, known: &UserRow, password_phc: &str) -> Result<(), StoreError> {
    tx.execute(
        "UPDATE shop_user SET password_phc = ?2 WHERE person_id = ?1",
        params![known.person_id.as_bytes(), password_phc],
    )
    .doing("renew a user")?;
    tx.execute(
        "DELETE FROM session WHERE person_id = ?1",
        [known.person_id.as_bytes()],
    )
    .doing("end a user's sessions")?;
    Ok(())
}
