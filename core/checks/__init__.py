"""Rules over a study; each finding has a sentence, figures and a remedy."""
