"""From facts to suspects: answers, probabilities, proofs, contradictions, epochs."""
