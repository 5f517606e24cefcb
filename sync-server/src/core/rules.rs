//! The rule book as the lab keeps it: the rows that ship with the program, and the newer ones that its owner has recorded.
//!
//! A verdict here must be the one that the lab's desktops give, so a book that can't be read is an error and never the shipped
//! one in its place.

use std::sync::Arc;

use domain::cells::book::RuleBook;
use domain::{Subject, fold_lab};

use super::Core;
use crate::auth::credential;
use crate::store::StoreError;

/// The book at one position of the log.
#[derive(Debug)]
pub(super) struct KeptBook {
    log_position: u64,
    book: Arc<RuleBook>,
}

impl Core {
    /// The rules about lithium cells that the lab goes by now. Folded anew only when the log has moved.
    pub fn rule_book(&self) -> Result<Arc<RuleBook>, StoreError> {
        let log_position = self.store.lab()?.log_position;
        let kept = |kept: &Option<KeptBook>| {
            kept.as_ref()
                .filter(|kept| kept.log_position == log_position)
                .map(|kept| kept.book.clone())
        };
        // A thread that panicked left a whole value behind, or none.
        let mut known = self
            .book
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(book) = kept(&known) {
            return Ok(book);
        }
        let book = Arc::new(match credential::operator(self.store())? {
            Some(scope) => {
                let recorded = self.store.recorded(&scope, Subject::Lab(scope.lab_id()))?;
                fold_lab(scope.lab_id(), &recorded).rule_book()
            }
            None => RuleBook::shipped().clone(),
        });
        *known = Some(KeptBook {
            log_position,
            book: book.clone(),
        });
        Ok(book)
    }
}
