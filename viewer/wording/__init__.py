"""The words that report, pictures and paper share: how far and which way, how many, whether it drops on."""
