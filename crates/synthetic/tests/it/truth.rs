//! The truth against closed forms.
