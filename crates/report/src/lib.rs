//! The answers: the main job as text, JSON and pictures.
