"""The ground floor: refusals, units, money, words, chance. It imports nothing of ours."""
